-- A print job that stops halfway goes on where it stopped; what may be on paper already is printed again only as a marked
-- reprint; jobs move to another station; sheets of labels are used to the end.
set local search_path = ellwand;

alter table station
    add column job_labels integer not null default 200 check (job_labels between 1 and 1000),
    -- on sheets of many labels: where the next job begins, whether jobs go on in a part-used sheet by themselves, and the
    -- first place that the last job left free
    add column first_place integer not null default 1 check (first_place between 1 and 1200),
    add column part_sheets boolean not null default false,
    add column free_place integer not null default 1 check (free_place between 1 and 1200);

alter table print_job
    -- labels from the first on that are known to have come out
    add column done integer not null default 0,
    -- whether some of the others may have come out as well
    add column unsure boolean not null default false,
    -- on which page of the attempt under way each of its labels ends
    add column page_ends jsonb,
    -- what is to become of a job that the printer has: '' it is printed, 'cancel', 'move'
    add column wish text not null default '' check (wish in ('', 'cancel', 'move')),
    add column wish_station text,
    add constraint print_job_done check (done between 0 and jsonb_array_length(payload)),
    add foreign key (workshop, wish_station) references station,
    add check ((wish = 'move') = (wish_station is not null));
grant update (station, done, unsure, page_ends, wish, wish_station) on print_job to ellwand_daemon;

insert into allowed_step (kind, from_state, to_state) values
    ('print', 'sending', 'cancelled'), ('print', 'printing', 'cancelled');

-- A reprint that is on paper makes the label before it void.
create function issue_labels() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into label_issue (letter, subject, asked, printed)
    select parts.kind, parts.id, max(parts.issue), max(parts.issue)
    from jsonb_array_elements(new.payload) with ordinality as label (item, place), code_parts(item ->> 'code') as parts
    where place > old.done and place <= case new.state when 'printed' then jsonb_array_length(new.payload) else new.done end
      and parts.issue > 0
    group by parts.kind, parts.id
    on conflict (letter, subject) do update
        set printed = greatest(label_issue.printed, excluded.printed), asked = greatest(label_issue.asked, excluded.asked);
    return null;
end
$$;
create trigger issue_labels after update of state, done on print_job for each row
    when (new.state = 'printed' or new.done > old.done) execute function issue_labels();
