-- A piece that is cut again was asked for once: it leaves the month in which it was first cut.
set local search_path = ellwand;

create or replace function sum_recut() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into cut_week as sums (workshop, system, finish, saw, week, pieces, recut_length)
    select old.workshop, old.system, old.finish, plan.saw, week_of(now()), -1, old.length
    from plan_bar join plan on plan.id = plan_bar.plan where plan_bar.id = old.plan_bar
    on conflict (workshop, system, finish, saw, week) do update
        set pieces = sums.pieces - 1, recut_length = sums.recut_length + excluded.recut_length;
    update piece_month set pieces = piece_month.pieces - 1
    from plan_bar
    where plan_bar.id = old.plan_bar
      and (piece_month.workshop, piece_month.system, piece_month.finish, piece_month.length, piece_month.paired)
          = (old.workshop, old.system, old.finish, round_up_length(old.length), old.of > 1)
      and piece_month.month = month_of(plan_bar.cut_at);
    return null;
end
$$;
