-- As before (migration 0100), but that the places of the entries are looked up one by one: planned once for entries that nobody has
-- counted yet, all places there are were read at each pick.
set local search_path = ellwand;

create or replace function sum_ledger() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp
    set plan_cache_mode = force_generic_plan as
$$
begin
    with change as (
        select stock, week_of(at) as week, case kind when 'pick' then -delta else 0 end as used,
               case when kind in ('receipt', 'opening') then delta else 0 end as received,
               case kind when 'adjustment' then delta else 0 end as adjusted
        from booked where kind not in ('put-back', 'move')
        union all
        select booked.stock, undone.week, -undone.units, 0, 0
        from booked, picks_undone(booked.kit_line, booked.id) undone where booked.kind = 'put-back'
    ), by_week as materialized (
        select place.part, place.workshop, week, sum(used) as used, sum(received) as received, sum(adjusted) as adjusted
        from change cross join lateral (select part, workshop from stock where stock.id = change.stock offset 0) place
        group by place.part, place.workshop, week
    ), weekly as (
        insert into part_week (part, week, used, received, adjusted)
        select part, week, used, received, adjusted from by_week order by part, week
        on conflict (part, week) do update set used = part_week.used + excluded.used,
            received = part_week.received + excluded.received, adjusted = part_week.adjusted + excluded.adjusted
    ), yearly as (
        insert into part_year (part, year, used, last_used)
        select part, extract(year from week)::integer, sum(used), max(week) from by_week where used <> 0 group by 1, 2 order by 1, 2
        on conflict (part, year) do update set used = part_year.used + excluded.used,
            last_used = greatest(part_year.last_used, excluded.last_used)
    )
    insert into open_week (workshop, week)
    select distinct workshop, week from by_week where used > 0 order by 1, 2
    on conflict do nothing;
    return null;
end
$$;
