-- What the ledger, the saw and the rack add up to, week by week, kept as they go: no report and no reorder point has to read
-- a history that grows. Only the triggers below write these tables; the audit compares them with what they sum up.
-- Weeks begin on Monday (ISO 8601), in UTC.
set local search_path = ellwand;

create function week_of(at timestamptz) returns date language sql immutable strict parallel safe as
$$ select date_trunc('week', at at time zone 'UTC')::date $$;

-- Parts. What is put back was not used: it is taken off the week in which it was picked, the latest pick first.
create table part_week (
    part     bigint not null references part,
    week     date not null,
    used     bigint not null default 0,  -- picked, less what came back of it
    received bigint not null default 0,  -- receipts and openings
    adjusted bigint not null default 0,
    primary key (part, week)
);
create table part_year (
    part      bigint not null references part,
    year      integer not null,
    used      bigint not null default 0,
    last_used date not null,
    primary key (part, year)
);
-- Weeks in which anything was picked or cut: the others the workshop was shut, and they say nothing of demand.
create table open_week (
    workshop integer not null references workshop,
    week     date not null,
    primary key (workshop, week)
);
-- What left in dispatched kits, beside what the take-off had said.
create table sent_week (
    part bigint not null references part,
    week date not null,
    kits integer not null,
    told bigint not null,
    used bigint not null,
    primary key (part, week)
);

-- How much of each week's picks the put-back `entry` of a kit line undoes.
create function picks_undone(line bigint, entry bigint) returns table (week date, units bigint) language plpgsql stable as
$$
declare
    weeks date[] := '{}';
    open bigint[] := '{}';  -- of each pick not yet put back, the oldest first
    step record;
    rest bigint;
    last integer;
begin
    for step in select id, at, delta from ledger where kit_line = line and id <= entry order by id loop
        if step.delta < 0 then
            weeks := weeks || week_of(step.at);
            open := open || -step.delta;
            continue;
        end if;
        rest := step.delta;
        while rest > 0 and cardinality(open) > 0 loop
            last := cardinality(open);
            week := weeks[last];
            units := least(rest, open[last]);
            rest := rest - units;
            open[last] := open[last] - units;
            if step.id = entry then
                return next;
            end if;
            if open[last] = 0 then
                weeks := trim_array(weeks, 1);
                open := trim_array(open, 1);
            end if;
        end loop;
    end loop;
end
$$;

create function sum_ledger() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
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
        select stock.part, stock.workshop, week, sum(used) as used, sum(received) as received, sum(adjusted) as adjusted
        from change join stock on stock.id = change.stock group by stock.part, stock.workshop, week
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
create trigger sums after insert on ledger referencing new table as booked
    for each statement execute function sum_ledger();

create function sum_sent_kits() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into sent_week (part, week, kits, told, used)
    select line.part, week_of(now()), count(distinct gone.id), sum(line.wanted), sum(line.picked)
    from gone join before using (id) join kit_line line on line.kit = gone.id
    where gone.state = 'dispatched' and before.state <> 'dispatched'
    group by line.part order by line.part
    on conflict (part, week) do update set kits = sent_week.kits + excluded.kits,
        told = sent_week.told + excluded.told, used = sent_week.used + excluded.used;
    return null;
end
$$;
create trigger sums after update on kit referencing old table as before new table as gone
    for each statement execute function sum_sent_kits();

-- The saw: lengths of what was opened and what became of it.
create table cut_week (
    workshop integer not null references workshop,
    system text not null,
    finish text not null,
    saw    text not null,
    week   date not null,
    bars    integer not null default 0,         -- full bars opened
    offcuts integer not null default 0,         -- offcuts used
    pieces  integer not null default 0,         -- good ones, less those sent back to be cut again
    bars_length    bigint not null default 0,
    offcuts_length bigint not null default 0,
    correction     bigint not null default 0,   -- true lengths less booked ones
    pieces_length  bigint not null default 0,
    kerf_length    bigint not null default 0,
    trim_length    bigint not null default 0,
    waste_length   bigint not null default 0,   -- mis-cut
    kept_length    bigint not null default 0,   -- remainders that went back on the rack
    scrap_length   bigint not null default 0,   -- remainders that did not
    recut_length   bigint not null default 0,   -- of the pieces, what was sent back later to be cut again
    primary key (workshop, system, finish, saw, week),
    constraint length_balance check (bars_length + offcuts_length + correction
        = pieces_length + kerf_length + trim_length + waste_length + kept_length + scrap_length)
);
-- Full bars by length: how many came, and how many were opened, which is what bars are bought by.
create table bar_week (
    workshop integer not null references workshop,
    system text not null,
    finish text not null,
    length bigint not null,
    week   date not null,
    came   integer not null default 0,
    opened integer not null default 0,
    primary key (workshop, system, finish, length, week)
);
-- Good pieces by length, rounded up to 50 mm: what an offcut may be asked for. `paired`: of a track in several pieces, which
-- want one finish batch.
create table piece_month (
    workshop integer not null references workshop,
    system text not null,
    finish text not null,
    month  date not null,
    length bigint not null,
    paired boolean not null,
    pieces integer not null,
    primary key (workshop, system, finish, month, length, paired)
);

create function month_of(at timestamptz) returns date language sql immutable strict parallel safe as
$$ select date_trunc('month', at at time zone 'UTC')::date $$;
create function round_up_length(length bigint) returns bigint language sql immutable strict parallel safe as
$$ select (length + 499) / 500 * 500 $$;

create function sum_cut() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into cut_week as sums (workshop, system, finish, saw, week, bars, offcuts, pieces, bars_length, offcuts_length, correction,
                                  pieces_length, kerf_length, trim_length, waste_length, kept_length, scrap_length)
    select new.workshop, bar.system, bar.finish, plan.saw, week_of(coalesce(new.cut_at, now())), (bar.kind = 'bar')::integer,
           (bar.kind = 'offcut')::integer, (select count(*) from piece where plan_bar = new.id),
           case bar.kind when 'bar' then new.bar_length else 0 end, case bar.kind when 'offcut' then new.bar_length else 0 end,
           new.correction, new.pieces_length, new.kerf_length, new.lead_trim, new.waste,
           case when new.returns then new.remainder else 0 end, case when new.returns then 0 else new.remainder end
    from bar, plan where bar.id = new.bar and plan.id = new.plan
    on conflict (workshop, system, finish, saw, week) do update
        set bars = sums.bars + excluded.bars, offcuts = sums.offcuts + excluded.offcuts, pieces = sums.pieces + excluded.pieces,
            bars_length = sums.bars_length + excluded.bars_length, offcuts_length = sums.offcuts_length + excluded.offcuts_length,
            correction = sums.correction + excluded.correction, pieces_length = sums.pieces_length + excluded.pieces_length,
            kerf_length = sums.kerf_length + excluded.kerf_length, trim_length = sums.trim_length + excluded.trim_length,
            waste_length = sums.waste_length + excluded.waste_length, kept_length = sums.kept_length + excluded.kept_length,
            scrap_length = sums.scrap_length + excluded.scrap_length;
    insert into bar_week as sums (workshop, system, finish, length, week, opened)
    select bar.workshop, bar.system, bar.finish, bar.length, week_of(coalesce(new.cut_at, now())), 1
    from bar where bar.id = new.bar and bar.kind = 'bar'
    on conflict (workshop, system, finish, length, week) do update set opened = sums.opened + 1;
    insert into piece_month as sums (workshop, system, finish, month, length, paired, pieces)
    select workshop, system, finish, month_of(coalesce(new.cut_at, now())), round_up_length(length), of > 1, count(*)
    from piece where plan_bar = new.id
    group by 1, 2, 3, 4, 5, 6 order by 5, 6
    on conflict (workshop, system, finish, month, length, paired) do update set pieces = sums.pieces + excluded.pieces;
    insert into open_week (workshop, week) values (new.workshop, week_of(coalesce(new.cut_at, now()))) on conflict do nothing;
    return null;
end
$$;
create trigger sums after update on plan_bar for each row
    when (new.state = 'cut' and old.state <> 'cut') execute function sum_cut();

-- Told in the week in which it is found; by the saw that cut it.
create function sum_recut() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    insert into cut_week as sums (workshop, system, finish, saw, week, pieces, recut_length)
    select old.workshop, old.system, old.finish, plan.saw, week_of(now()), -1, old.length
    from plan_bar join plan on plan.id = plan_bar.plan where plan_bar.id = old.plan_bar
    on conflict (workshop, system, finish, saw, week) do update
        set pieces = sums.pieces - 1, recut_length = sums.recut_length + excluded.recut_length;
    return null;
end
$$;
create trigger sums after update on piece for each row
    when (old.state = 'cut' and new.state = 'waiting') execute function sum_recut();

-- The rack: what came onto it other than from the saw, and what left it other than to the saw. A thing written off and then
-- found again counts against what was written off.
create table rack_week (
    workshop integer not null references workshop,
    system text not null,
    finish text not null,
    week   date not null,
    bought integer not null default 0,
    bought_length      bigint not null default 0,
    found_length       bigint not null default 0,
    put_back_length    bigint not null default 0,   -- pieces of cancelled orders
    written_off_length bigint not null default 0,
    primary key (workshop, system, finish, week)
);

create function sum_rack(workshop_id integer, of_system text, of_finish text, of_week date, came bigint, origin text, gone bigint)
    returns void language sql as
$$
    insert into rack_week as sums (workshop, system, finish, week, bought, bought_length, found_length, put_back_length, written_off_length)
    values (workshop_id, of_system, of_finish, of_week, (origin = 'bought')::integer, case origin when 'bought' then came else 0 end,
            case origin when 'found' then came else 0 end, case origin when 'put-back' then came else 0 end, gone)
    on conflict (workshop, system, finish, week) do update
        set bought = sums.bought + excluded.bought, bought_length = sums.bought_length + excluded.bought_length,
            found_length = sums.found_length + excluded.found_length, put_back_length = sums.put_back_length + excluded.put_back_length,
            written_off_length = sums.written_off_length + excluded.written_off_length
$$;

create function sum_bar() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if tg_op = 'INSERT' then
        perform sum_rack(new.workshop, new.system, new.finish, week_of(new.arrived_at), new.length, new.origin, 0);
        if new.origin = 'bought' then
            insert into bar_week as sums (workshop, system, finish, length, week, came)
            values (new.workshop, new.system, new.finish, new.length, week_of(new.arrived_at), 1)
            on conflict (workshop, system, finish, length, week) do update set came = sums.came + 1;
        end if;
    else
        perform sum_rack(new.workshop, new.system, new.finish, week_of(now()), 0, '',
                         case new.state when 'written-off' then new.length else -new.length end);
    end if;
    return null;
end
$$;
create trigger sums_came after insert on bar for each row when (new.origin <> 'cut') execute function sum_bar();
create trigger sums_left after update on bar for each row
    when (new.state <> old.state and 'written-off' in (new.state, old.state)) execute function sum_bar();

-- What there was before these sums.
insert into part_week (part, week, used, received, adjusted)
select part, week, sum(used), sum(received), sum(adjusted)
from (select stock.part, week_of(at) as week, case kind when 'pick' then -delta else 0 end as used,
             case when kind in ('receipt', 'opening') then delta else 0 end as received,
             case kind when 'adjustment' then delta else 0 end as adjusted
      from ledger join stock on stock.id = ledger.stock where kind not in ('put-back', 'move')
      union all
      select stock.part, undone.week, -undone.units, 0, 0
      from ledger join stock on stock.id = ledger.stock, picks_undone(ledger.kit_line, ledger.id) undone
      where ledger.kind = 'put-back') as change
group by part, week;
insert into part_year (part, year, used, last_used)
select part, extract(year from week)::integer, sum(used), max(week) from part_week where used <> 0 group by 1, 2;
insert into sent_week (part, week, kits, told, used)
select line.part, week_of(sent.at), count(distinct kit.id), sum(line.wanted), sum(line.picked)
from kit
join kit_line line on line.kit = kit.id
join history sent on sent.kind = 'kit' and sent.subject = kit.id and sent.to_state = 'dispatched'
where kit.state = 'dispatched'
group by line.part, week_of(sent.at);
insert into cut_week (workshop, system, finish, saw, week, bars, offcuts, pieces, bars_length, offcuts_length, correction,
                      pieces_length, kerf_length, trim_length, waste_length, kept_length, scrap_length)
select cut.workshop, bar.system, bar.finish, plan.saw, week_of(cut_at), count(*) filter (where bar.kind = 'bar'),
       count(*) filter (where bar.kind = 'offcut'), sum((select count(*) from piece where piece.plan_bar = cut.id)),
       coalesce(sum(bar_length) filter (where bar.kind = 'bar'), 0), coalesce(sum(bar_length) filter (where bar.kind = 'offcut'), 0),
       sum(correction), sum(pieces_length), sum(kerf_length), sum(lead_trim), sum(waste),
       coalesce(sum(remainder) filter (where returns), 0), coalesce(sum(remainder) filter (where not returns), 0)
from plan_bar cut join bar on bar.id = cut.bar join plan on plan.id = cut.plan
where cut.state = 'cut'
group by 1, 2, 3, 4, 5;
insert into cut_week as sums (workshop, system, finish, saw, week, recut_length)
select piece.workshop, piece.system, piece.finish,
       coalesce((select plan.saw from plan join history of_plan on of_plan.kind = 'plan' and of_plan.subject = plan.id
                 where plan.workshop = piece.workshop and plan.system = piece.system and plan.finish = piece.finish
                   and of_plan.to_state = 'released' and of_plan.at <= again.at order by of_plan.at desc limit 1), ''),
       week_of(again.at), sum(piece.length)
from history again join piece on piece.id = again.subject
where again.kind = 'piece' and again.from_state = 'cut' and again.to_state = 'waiting'
group by 1, 2, 3, 4, 5
on conflict (workshop, system, finish, saw, week) do update set recut_length = sums.recut_length + excluded.recut_length;
insert into bar_week (workshop, system, finish, length, week, came, opened)
select workshop, system, finish, length, week, sum(came), sum(opened)
from (select workshop, system, finish, length, week_of(arrived_at) as week, 1 as came, 0 as opened from bar where origin = 'bought'
      union all
      select bar.workshop, bar.system, bar.finish, bar.length, week_of(cut.cut_at), 0, 1
      from plan_bar cut join bar on bar.id = cut.bar where cut.state = 'cut' and bar.kind = 'bar') as bars
group by 1, 2, 3, 4, 5;
insert into piece_month (workshop, system, finish, month, length, paired, pieces)
select piece.workshop, piece.system, piece.finish, month_of(cut.cut_at), round_up_length(piece.length), piece.of > 1, count(*)
from plan_bar cut join piece on piece.plan_bar = cut.id
where cut.state = 'cut'
group by 1, 2, 3, 4, 5, 6;
insert into rack_week (workshop, system, finish, week, bought, bought_length, found_length, put_back_length, written_off_length)
select workshop, system, finish, week, count(*) filter (where origin = 'bought'),
       coalesce(sum(length) filter (where origin = 'bought'), 0), coalesce(sum(length) filter (where origin = 'found'), 0),
       coalesce(sum(length) filter (where origin = 'put-back'), 0), coalesce(sum(length) filter (where origin = 'gone'), 0)
from (select workshop, system, finish, week_of(arrived_at) as week, length, origin from bar where origin <> 'cut'
      union all
      select bar.workshop, bar.system, bar.finish, week_of(gone.at), bar.length, 'gone'
      from bar join lateral (select max(at) as at from history where kind = 'bar' and subject = bar.id and to_state = 'written-off') gone on true
      where bar.state = 'written-off') as moved
group by workshop, system, finish, week;
insert into open_week (workshop, week)
select part.workshop, part_week.week from part_week join part on part.id = part_week.part where part_week.used > 0
union
select workshop, week from cut_week where bars + offcuts > 0;

-- What lies on the rack, however much lay there before; and what it is worth: a bar its price, an offcut the share that the
-- workshop reckons with of what its length costs in the longest bar (as the planner does).
create index bar_there on bar (workshop, id) where state in ('on-rack', 'bound');
create view rack_now as
    select bar.id, bar.workshop, bar.kind, bar.system, bar.finish, bar.length, bar.batch, bar.place, bar.squared, bar.state, bar.arrived_at,
           case bar.kind when 'bar' then coalesce(alike.price, trunc(bar.length * longest.rate))
                else trunc(bar.length * longest.rate * workshop.remainder_value_percent / 100) end::bigint as value
    from bar
    join workshop on workshop.id = bar.workshop
    left join bar_length alike on (alike.workshop, alike.system, alike.length) = (bar.workshop, bar.system, bar.length)
    left join (select distinct on (workshop, system) workshop, system, price::numeric / length as rate
               from bar_length order by workshop, system, length desc) longest
        on (longest.workshop, longest.system) = (bar.workshop, bar.system)
    where bar.state in ('on-rack', 'bound');

grant select on part_week, part_year, open_week, sent_week, cut_week, bar_week, piece_month, rack_week, rack_now to ellwand_daemon;
