-- Demand of a part is what orders called for, in the week in which they came in. What left the bins (part_week.used) is no demand:
-- where a substitute was picked it names another part, and what waited for goods shows weeks of nothing and then a heap. Stock
-- that is on hand and on order, less what open orders want, falls by just this when an order is taken.
set local search_path = ellwand;

create table asked_week (
    part  bigint not null references part,
    week  date not null,
    asked bigint not null default 0,  -- wanted by the take-offs, cancelled orders left out
    primary key (part, week) include (asked)
);

-- When an order is taken its kits ask for their parts; when it is cancelled the same week gets them back. What is put back into a
-- bin, or picked from another part, changes nothing here: the kit still wants it. Deferred, because whoever commits a change of
-- kits holds the locks of all their parts by then: two of them never wait for each other's weeks.
create function sum_asked() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into asked_week (part, week, asked)
    select line.part, week_of(job_order.taken_at), case tg_op when 'INSERT' then sum(line.wanted) else -sum(line.wanted) end
    from job_window
    join job_order on job_order.id = job_window.job_order
    join kit_line line on line.kit = new.id
    where job_window.id = new.job_window
    group by line.part, job_order.taken_at
    order by line.part
    on conflict (part, week) do update set asked = asked_week.asked + excluded.asked;
    if tg_op = 'INSERT' then
        -- A week in which orders came in says something of demand, even if nothing was picked or cut.
        insert into open_week (workshop, week)
        select new.workshop, week_of(job_order.taken_at)
        from job_window join job_order on job_order.id = job_window.job_order where job_window.id = new.job_window
        on conflict do nothing;
    end if;
    return null;
end
$$;
create constraint trigger asked after insert on kit deferrable initially deferred for each row execute function sum_asked();
create constraint trigger asked_no_more after update on kit deferrable initially deferred for each row
    when (new.state = 'cancelled' and old.state <> 'cancelled') execute function sum_asked();

-- What was asked of a part in a year, in money.
create or replace function part_value(of_part bigint, price numeric, unit text) returns numeric language sql stable as
$$
    select coalesce(sum(asked), 0) * coalesce(price, 0) / case unit when 'length' then 10000 else 1 end
    from asked_week where part = of_part and week > week_of(now()) - 364
$$;

-- What there was before these sums.
insert into asked_week (part, week, asked)
select line.part, week_of(job_order.taken_at), sum(line.wanted)
from job_order
join job_window on job_window.job_order = job_order.id
join kit on kit.job_window = job_window.id and kit.state <> 'cancelled'
join kit_line line on line.kit = kit.id
group by line.part, week_of(job_order.taken_at);
insert into open_week (workshop, week) select distinct workshop, week_of(taken_at) from job_order on conflict do nothing;
-- The classes follow.
select reckon_classes(id) from workshop;

grant select on asked_week to ellwand_daemon;
