-- Stock-takes: one place at a time, a bin or a place of the rack, is counted blind and compared with what the books had at
-- that moment. What differs is counted again where it is much, approved by another than who counted, and then booked as
-- adjustments that name their stock-take.
set local search_path = ellwand;

insert into allowed_step (kind, from_state, to_state) values
    ('stock-take', '', 'open'), ('stock-take', 'open', 'counted'), ('stock-take', 'counted', 'open'),
    ('stock-take', 'counted', 'approved'), ('stock-take', 'open', 'dropped'), ('stock-take', 'counted', 'dropped');

create table stock_take (
    id         bigint generated always as identity primary key,
    workshop   integer not null references workshop,
    bin        bigint references bin,
    rack_place text check (length(rack_place) <= 40),
    state      text not null,
    round      integer not null default 1 check (round between 1 and 100),
    asks       text not null default 'all' check (asks in ('all', 'different', 'large')),  -- what this round counts again
    -- A difference of more than so many percent of the books and of more than that value is counted again.
    recount_percent integer not null default 5 check (recount_percent between 0 and 1000),
    recount_value bigint not null default 500 check (recount_value between 0 and 1000000000),
    opened_at  timestamptz not null default now(),
    counted_at timestamptz,
    constraint stock_take_of_one_place check (num_nonnulls(bin, rack_place) = 1),
    constraint stock_take_counted check ((state in ('counted', 'approved')) <= (counted_at is not null))
);
create unique index stock_take_one_of_bin on stock_take (bin) where state in ('open', 'counted');
create unique index stock_take_one_of_place on stock_take (workshop, rack_place)
    where state in ('open', 'counted') and rack_place is not null;
create index stock_take_state on stock_take (workshop, state, id);
create trigger step_guard before insert or update on stock_take for each row execute function step_guard('stock-take');

-- What was counted; of the same part and batch the last one holds.
create table stock_count (
    id         bigint generated always as identity primary key,
    stock_take bigint not null references stock_take,
    round      integer not null,
    part       bigint not null references part,
    batch      text not null default '',
    counted    bigint not null check (counted >= 0),
    booked     bigint not null default 0,   -- what the books had when it was counted; only the trigger below says so
    counted_at timestamptz not null default now(),
    at         timestamptz not null default now(),
    key_name   text not null default told('key'),
    request_id text not null default told('request')
);
create index stock_count_last on stock_count (stock_take, part, batch, id);
create trigger keep_forever before update or delete on stock_count for each row execute function keep_forever();
create trigger keep_forever_all before truncate on stock_count for each statement execute function keep_forever();

-- What lay at a place of the rack: a bar or offcut by its label, or an offcut without one, measured.
create table stock_count_bar (
    id         bigint generated always as identity primary key,
    stock_take bigint not null references stock_take,
    round      integer not null,
    bar        bigint references bar,
    system     text,
    finish     text,
    length     bigint check (length between 1 and 1000000000),
    batch      text not null default '',
    squared    boolean not null default false,
    at         timestamptz not null default now(),
    key_name   text not null default told('key'),
    request_id text not null default told('request'),
    unique (stock_take, bar),
    constraint count_of_one_thing check (num_nonnulls(system, finish, length) = case when bar is null then 3 else 0 end)
);
create trigger keep_forever before update or delete on stock_count_bar for each row execute function keep_forever();
create trigger keep_forever_all before truncate on stock_count_bar for each statement execute function keep_forever();

-- What the books had there and nobody found, when the place was counted.
create table stock_take_missing (
    stock_take bigint not null references stock_take,
    bar        bigint not null references bar,
    primary key (stock_take, bar)
);

alter table ledger add column stock_take bigint references stock_take;
create unique index ledger_stock_take on ledger (stock_take, stock) where stock_take is not null;

-- Only what is open is counted, in its own round, and not before it was opened; the books say what they had then.
create function count_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    take stock_take;
begin
    select * into take from stock_take where id = new.stock_take;
    if take.state <> 'open' or take.round <> new.round then
        perform refuse(case take.state when 'open' then 'count-outdated' else 'stock-take-' || take.state end, 'stock-take ' || new.stock_take, format('This stock-take is %s; nothing is counted for it now.', take.state));
    end if;
    if tg_table_name = 'stock_count' then
        if take.bin is null or not exists (select from part where id = new.part and workshop = take.workshop) then
            perform refuse('wrong-place', 'stock-take ' || new.stock_take, 'This stock-take is of the rack, not of parts in a bin.');
        end if;
        if new.counted_at < take.opened_at or new.counted_at > now() then
            perform refuse('out-of-range', 'at', 'It was counted after the stock-take was opened, and not later than now.');
        end if;
        new.booked := coalesce((select on_hand from stock where part = new.part and bin = take.bin and batch = new.batch), 0)
            - coalesce((select sum(delta) from ledger join stock on stock.id = ledger.stock
                        where part = new.part and bin = take.bin and batch = new.batch and ledger.at > new.counted_at), 0);
    elsif take.rack_place is null then
        perform refuse('wrong-place', 'stock-take ' || new.stock_take, 'This stock-take is of a bin, not of the rack.');
    end if;
    return new;
end
$$;
create trigger count_guard before insert on stock_count for each row execute function count_guard();
create trigger count_guard before insert on stock_count_bar for each row execute function count_guard();

-- How the counts stand: of each part and batch the last one.
create view stock_take_line as
    select last.*, last.counted - last.booked as difference, part.code, part.name, part.unit,
           abs(last.counted - last.booked) * 100 > take.recount_percent * last.booked
               and coalesce(case part.unit when 'length' then abs(last.counted - last.booked) * price.of_one / 10000
                                           else abs(last.counted - last.booked) * price.of_one end > take.recount_value, true) as large,
           round(case part.unit when 'length' then (last.counted - last.booked) * price.of_one / 10000
                                else (last.counted - last.booked) * price.of_one end) as value
    from (select distinct on (stock_take, part, batch) * from stock_count order by stock_take, part, batch, id desc) as last
    join stock_take take on take.id = last.stock_take
    join part on part.id = last.part
    cross join lateral (select nullif(part.data ->> 'price', '0')::numeric as of_one) as price;

-- Nobody approves what he counted himself, nor anything that was not counted.
create function approve_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.state = 'approved' and old.state <> 'approved' and exists (
            select from stock_count where stock_take = new.id and key_name = told('key')
            union all
            select from stock_count_bar where stock_take = new.id and key_name = told('key')) then
        perform refuse('own-count', 'stock-take ' || new.id, 'Whoever counted does not approve: another manager must look at it.');
    end if;
    return new;
end
$$;
create trigger approve_guard before update on stock_take for each row execute function approve_guard();

-- The ledger takes from a stock-take just what was approved: the difference that it found there.
create function adjustment_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if new.kind <> 'adjustment' or not exists (
            select from stock_take take join stock on stock.id = new.stock and stock.bin = take.bin
            join stock_take_line line on line.stock_take = take.id and line.part = stock.part and line.batch = stock.batch
            where take.id = new.stock_take and take.state = 'approved' and line.difference = new.delta) then
        perform refuse('wrong-difference', 'stock-take ' || new.stock_take, 'This is not a difference that the stock-take found and a manager approved.');
    end if;
    return new;
end
$$;
create trigger adjustment_guard before insert on ledger for each row when (new.stock_take is not null)
    execute function adjustment_guard();

grant select on stock_take, stock_count, stock_count_bar, stock_take_missing, stock_take_line to ellwand_daemon;
grant insert (workshop, bin, rack_place, state, recount_percent, recount_value), update (state, round, asks, counted_at)
    on stock_take to ellwand_daemon;
grant insert (stock_take, round, part, batch, counted, counted_at) on stock_count to ellwand_daemon;
grant insert (stock_take, round, bar, system, finish, length, batch, squared) on stock_count_bar to ellwand_daemon;
grant insert, delete on stock_take_missing to ellwand_daemon;
grant update (place) on bar to ellwand_daemon;
