-- In which lengths a part sold by length was asked for, month by month: what the rest of a reel can serve follows from it.
set local search_path = ellwand;

create table asked_length (
    part   bigint not null references part,
    month  date not null,
    length bigint not null,  -- rounded up to 50 mm
    pieces bigint not null,
    primary key (part, month, length) include (pieces)
);

-- As before, and the lengths with it: what a kit wants of such a part is one piece.
create or replace function sum_asked() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    with line as (
        select kit_line.part, part.unit, job_order.taken_at, kit_line.wanted,
               case tg_op when 'INSERT' then 1 else -1 end as sign
        from job_window
        join job_order on job_order.id = job_window.job_order
        join kit_line on kit_line.kit = new.id
        join part on part.id = kit_line.part
        where job_window.id = new.job_window
    ), lengths as (
        insert into asked_length (part, month, length, pieces)
        select part, month_of(taken_at), round_up_length(wanted), sum(sign) from line where unit = 'length' group by 1, 2, 3 order by 1, 3
        on conflict (part, month, length) do update set pieces = asked_length.pieces + excluded.pieces
    )
    insert into asked_week (part, week, asked)
    select part, week_of(taken_at), sum(sign * wanted) from line group by part, taken_at order by part
    on conflict (part, week) do update set asked = asked_week.asked + excluded.asked;
    if tg_op = 'INSERT' then
        insert into open_week (workshop, week)
        select new.workshop, week_of(job_order.taken_at)
        from job_window join job_order on job_order.id = job_window.job_order where job_window.id = new.job_window
        on conflict do nothing;
    end if;
    return null;
end
$$;

-- What there was before these sums.
insert into asked_length (part, month, length, pieces)
select line.part, month_of(job_order.taken_at), round_up_length(line.wanted), count(*)
from part
join kit_line line on line.part = part.id
join kit on kit.id = line.kit and kit.state <> 'cancelled'
join job_window on job_window.id = kit.job_window
join job_order on job_order.id = job_window.job_order
where part.unit = 'length'
group by 1, 2, 3;

grant select on asked_length to ellwand_daemon;
