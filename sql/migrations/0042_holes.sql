-- Three things that SQL itself would have let through: a cut without its measures (null made the balance neither true nor
-- false), a kit declared not to be corded, and a part taken out of a kit that stays complete.
set local search_path = ellwand;

alter table plan_bar drop constraint length_balance;
alter table plan_bar add constraint length_balance check (state <> 'cut' or coalesce(
    bar_length + correction = lead_trim + pieces_length + kerf_length + waste + remainder, false));

alter table job_window add constraint job_window_corded unique (id, corded);
alter table kit add constraint kit_corded_as_its_window foreign key (job_window, corded) references job_window (id, corded);

-- At the end of the transaction, for whoever takes a part out also opens the kit again, before or after.
create function complete_kit_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    perform refuse('kit-not-complete', 'kit ' || kit.id, format('%s is missing; open the kit again first.', part.name))
    from kit_line line
    join kit on kit.id = line.kit
    join part on part.id = line.part
    where line.id = new.id and line.picked < line.wanted and kit.state in ('complete', 'packed', 'dispatched');
    return null;
end
$$;
create constraint trigger complete_kit_guard after insert or update on kit_line deferrable initially deferred
    for each row execute function complete_kit_guard();

-- The answer to a request is given once.
create function answer_guard() returns trigger language plpgsql as
$$
begin
    if old.reply is not null then
        perform refuse('append-only', 'request ' || old.request_id, 'An answered request keeps its answer.');
    end if;
    return new;
end
$$;
create trigger answer_guard before update on request_log for each row execute function answer_guard();
