-- What is reserved for a line of a kit stands in the line, as what is reserved in a place stands in the stock: who lacks a part is
-- then found by index among those who do, where every open line of the part and its reservations had to be read. Lines of
-- cancelled kits are told apart, so that this index does not grow with them.
set local search_path = ellwand;

-- The catalogue says "batch_match" of parts whose looks differ from batch to batch.
alter table part add column one_batch boolean not null
    generated always as (unit = 'each' and coalesce((data ->> 'batch_match')::boolean, false)) stored;
create or replace function one_batch(part_id bigint) returns boolean language sql stable parallel safe
return coalesce((select part.one_batch from part where id = part_id), false);

alter table kit_line add column reserved bigint not null default 0, add column cancelled boolean not null default false;
alter table kit_line disable trigger user;
update kit_line set reserved = held.units
from (select kit_line, sum(quantity)::bigint as units from reservation group by kit_line) held
where held.kit_line = kit_line.id;
update kit_line set cancelled = true from kit where kit.id = kit_line.kit and kit.state = 'cancelled';
alter table kit_line enable trigger user;
alter table kit_line add column lacking bigint not null
    generated always as (case when cancelled then 0 else wanted - picked - reserved end) stored;
create index kit_line_lacking on kit_line (part, kit) where lacking > 0;

-- Both are written by triggers alone.
revoke insert on kit_line from ellwand_daemon;
grant insert (kit, position, part, role, wanted, why) on kit_line to ellwand_daemon;

create function cancel_lines() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    update kit_line set cancelled = true where kit = new.id;
    return null;
end
$$;
create trigger cancel_lines after update of state on kit for each row when (new.state = 'cancelled' and old.state <> 'cancelled')
    execute function cancel_lines();

-- A line whose picks and wish stay as they are makes no kit incomplete.
drop trigger complete_kit_guard on kit_line;
create constraint trigger complete_kit_guard after insert or update of kit, wanted, picked on kit_line deferrable initially deferred
    for each row execute function complete_kit_guard();

-- What must be so of reservations just made or grown, `stocks` for `lines`: no more than wanted; the part itself or a substitute;
-- one reel (migration 0071); one batch (migration 0113).
create function reserved_guard(lines bigint[], stocks bigint[]) returns void language plpgsql as
$$
declare
    made record;
    found text;
begin
    for made in
        select line.id, stock.id as stock, stock.part, stock.batch, part.unit, part.one_batch,
               line.picked + line.reserved > line.wanted as too_much,
               stock.part <> line.part and not exists (select from kit_line_substitute other
                                                       where other.kit_line = line.id and other.part = stock.part) as another
        from unnest(lines, stocks) as one (line, stock)
        join kit_line line on line.id = one.line join part on part.id = line.part join stock on stock.id = one.stock
    loop
        if made.too_much then
            perform refuse('over-reserved', 'kit line ' || made.id, 'More would be reserved than the kit needs.');
        elsif made.another then
            perform refuse('wrong-part', 'kit line ' || made.id,
                           'This is neither the part that the kit wants nor one that may stand in for it.');
        elsif made.unit = 'length' and (
                exists (select from reservation where kit_line = made.id and stock <> made.stock)
                or exists (select from ledger where kit_line = made.id and stock <> made.stock group by stock having sum(delta) < 0)) then
            perform refuse('two-reels', 'kit line ' || made.id,
                           'It is cut in one length, so it comes from one reel: put back what was taken from another.');
        elsif made.one_batch then
            select format('batch %s of %s', coalesce(nullif(stock.batch, ''), 'none'), part.name) into found
            from (select reservation.stock from reservation where reservation.kit_line = made.id
                  union all
                  select ledger.stock from ledger where ledger.kit_line = made.id group by ledger.stock having sum(ledger.delta) < 0) used
            join stock on stock.id = used.stock and (stock.batch, stock.part) is distinct from (made.batch, made.part)
            join part on part.id = stock.part
            limit 1;
            if found is not null then
                perform refuse('wrong-batch', 'batch', format('This kit has %s, and all of it must look alike. Take that batch, or put back '
                    'what was picked of it with `ellwand kit put-back` and pick all from another.', found));
            end if;
        end if;
    end loop;
end
$$;

-- As book_reservation and the guards before it, once for a statement and not four times for a row.
create function book_reservations() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    lines bigint[];
    stocks bigint[];
    changes bigint[];
begin
    if tg_op = 'INSERT' then
        select array_agg(kit_line), array_agg(stock), array_agg(quantity) into lines, stocks, changes from come;
    elsif tg_op = 'DELETE' then
        select array_agg(kit_line), array_agg(stock), array_agg(-quantity) into lines, stocks, changes from gone;
    else
        select array_agg(kit_line), array_agg(stock), array_agg(quantity) into lines, stocks, changes
        from (select kit_line, stock, quantity from come union all select kit_line, stock, -quantity from gone) as both_ways;
    end if;
    if lines is null then
        return null;
    end if;
    update stock set reserved = stock.reserved + moved.units
    from (select one.stock, sum(one.units)::bigint as units from unnest(stocks, changes) as one (stock, units) group by one.stock) moved
    where stock.id = moved.stock;
    update kit_line set reserved = kit_line.reserved + moved.units
    from (select one.line, sum(one.units)::bigint as units from unnest(lines, changes) as one (line, units) group by one.line) moved
    where kit_line.id = moved.line;
    if tg_op <> 'DELETE' then
        perform reserved_guard(lines, stocks);
    end if;
    return null;
end
$$;
drop trigger book on reservation;
drop trigger one_reel_guard on reservation;
drop trigger one_batch_guard on reservation;
drop trigger part_of_line_guard on reservation;
drop function book_reservation();
create trigger book_come after insert on reservation referencing new table as come
    for each statement execute function book_reservations();
create trigger book_changed after update on reservation referencing old table as gone new table as come
    for each statement execute function book_reservations();
create trigger book_gone after delete on reservation referencing old table as gone
    for each statement execute function book_reservations();

-- As before (migrations 0114 and 0151), but that they find the lines that lack something by their index.
create or replace function reserve_reels(workshop_id integer, parts bigint[], order_id bigint, choice integer)
    returns table (kit_line bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    reel bigint;
begin
    for line in
        select want.id, want.wanted - want.picked as still, want.reserved as held, used.begun, coalesce(other.part, want.part) as part
        from unnest(parts) as asked (part)
        cross join lateral (select * from kit_line where kit_line.part = asked.part and lacking > 0 offset 0) want
        join part on part.id = want.part and part.unit = 'length'
        join kit on kit.id = want.kit and kit.workshop = workshop_id and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        left join kit_line_substitute other on other.kit_line = want.id and other.place = choice
        cross join lateral (
            select array(select ledger.stock from ledger where ledger.kit_line = want.id
                         group by ledger.stock having sum(ledger.delta) < 0) as begun) used
        where coalesce(other.part, want.part) = any (parts)
          and (choice = 0 or other.part is not null) and (order_id is null or job_order.id = order_id)
        order by job_order.due, job_order.priority desc, job_order.id, job_window.position, want.position, want.id
    loop
        select stock.id into reel
        from stock
        join bin on bin.id = stock.bin
        left join reservation own on own.stock = stock.id and own.kit_line = line.id
        where stock.part = line.part and stock.on_hand - stock.reserved + coalesce(own.quantity, 0) >= line.still
          and line.begun <@ array[stock.id]
        order by stock.on_hand - stock.reserved + coalesce(own.quantity, 0), bin.walk, bin.id, stock.id
        limit 1;
        if reel is not null then
            if line.held > 0 then
                delete from reservation where reservation.kit_line = line.id;
            end if;
            insert into reservation (kit_line, stock, quantity) values (line.id, reel, line.still);
            kit_line := line.id;
            quantity := line.still - line.held;
            return next;
        end if;
    end loop;
end
$$;

create or replace function reserve_batches(workshop_id integer, parts bigint[], order_id bigint, choice integer)
    returns table (kit_line bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    chosen record;
begin
    for line in
        select want.id, want.wanted - want.picked as still, want.reserved as held, used.begun, coalesce(other.part, want.part) as part
        from unnest(parts) as asked (part)
        cross join lateral (select * from kit_line where kit_line.part = asked.part and lacking > 0 offset 0) want
        join part on part.id = want.part and part.one_batch
        join kit on kit.id = want.kit and kit.workshop = workshop_id and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        left join kit_line_substitute other on other.kit_line = want.id and other.place = choice
        cross join lateral (
            select array(select distinct stock.batch from ledger join stock on stock.id = ledger.stock
                         where ledger.kit_line = want.id group by stock.part, stock.batch having sum(ledger.delta) < 0) as begun) used
        where coalesce(other.part, want.part) = any (parts)
          and (choice = 0 or other.part is not null) and (order_id is null or job_order.id = order_id)
          and not exists (select from ledger join stock on stock.id = ledger.stock
                          where ledger.kit_line = want.id and stock.part <> coalesce(other.part, want.part)
                          group by stock.part having sum(ledger.delta) < 0)
        order by job_order.due, job_order.priority desc, job_order.id, job_window.position, want.position, want.id
    loop
        select stock.batch, least(line.still, sum(stock.on_hand - stock.reserved + coalesce(own.quantity, 0))) as room into chosen
        from stock
        left join reservation own on own.stock = stock.id and own.kit_line = line.id
        where stock.part = line.part and line.begun <@ array[stock.batch]
        group by stock.batch
        order by least(line.still, sum(stock.on_hand - stock.reserved + coalesce(own.quantity, 0))) desc,
                 sum(stock.on_hand - stock.reserved + coalesce(own.quantity, 0)), stock.batch
        limit 1;
        if chosen.room > line.held and (choice = 0 or chosen.room = line.still or line.begun <> '{}') then
            if line.held > 0 then
                delete from reservation where reservation.kit_line = line.id;
            end if;
            insert into reservation (kit_line, stock, quantity)
            select line.id, laid.id, least(laid.units, chosen.room - laid.before)
            from (select stock.id, stock.on_hand - stock.reserved as units,
                         coalesce(sum(stock.on_hand - stock.reserved) over (order by bin.walk, bin.id, stock.id
                             rows between unbounded preceding and 1 preceding), 0) as before
                  from stock join bin on bin.id = stock.bin
                  where stock.part = line.part and stock.batch = chosen.batch and stock.on_hand > stock.reserved) laid
            where laid.before < chosen.room;
            kit_line := line.id;
            quantity := chosen.room - line.held;
            return next;
        end if;
    end loop;
end
$$;
