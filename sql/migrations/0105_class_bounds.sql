-- From which value used in a year a part, or bars of a length, are of class A or B: where 80 % and 95 % of all the value are
-- reached, the dearest first. Reckoned when a week opens, for it takes a look at everything.
set local search_path = ellwand;

create table class_bound (
    workshop integer not null references workshop,
    bars     boolean not null,
    a_from   numeric not null,
    b_from   numeric not null,
    primary key (workshop, bars)
);

-- What was used of a part in a year, in money: this year's, and of last year's the share that is left of the year.
create function part_value(of_part bigint, price numeric, unit text) returns numeric language sql stable as
$$
    select coalesce(sum(case part_year.year when today.year then used else used * (1 - today.gone) end), 0) * coalesce(price, 0)
           / case unit when 'length' then 10000 else 1 end
    from (select extract(year from now() at time zone 'UTC')::integer as year,
                 extract(doy from now() at time zone 'UTC')::numeric / 366 as gone) today
    join part_year on part_year.part = of_part and part_year.year >= today.year - 1
$$;

create function reckon_classes(workshop_id integer) returns void language sql security definer set search_path = ellwand, pg_temp as
$$
    with worth as (
        select false as bars, part_value(id, (data ->> 'price')::numeric, unit) as value from part where workshop = workshop_id and current
        union all
        select true, sum(opened) * bar_length.price
        from bar_week join bar_length using (workshop, system, length)
        where workshop = workshop_id and week > week_of(now()) - 364 group by system, finish, length, bar_length.price
    ), ranked as (
        select bars, value, sum(value) over (partition by bars) as whole,
               sum(value) over (partition by bars order by value desc rows unbounded preceding) - value as before
        from worth where value > 0
    )
    insert into class_bound (workshop, bars, a_from, b_from)
    select workshop_id, bars, min(value) filter (where before < 0.80 * whole), min(value) filter (where before < 0.95 * whole)
    from ranked group by bars
    on conflict (workshop, bars) do update set a_from = excluded.a_from, b_from = excluded.b_from
$$;

create function week_opened() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    perform reckon_classes(new.workshop);
    return null;
end
$$;
create trigger classes after insert on open_week for each row execute function week_opened();

select reckon_classes(id) from workshop;
revoke execute on function reckon_classes(integer) from public;
grant select on class_bound to ellwand_daemon;
