-- What is seen of a track must look alike: of a part that the catalogue calls "batch_match" a kit takes all from one finish batch,
-- from as many bins as hold it.
set local search_path = ellwand;

create function one_batch(part_id bigint) returns boolean language sql stable parallel safe
return coalesce((select (data ->> 'batch_match')::boolean and unit = 'each' from part where id = part_id), false);

-- For lines of kits that are short of such a part, as reserve_reels for parts by length: sets aside of one batch what each still
-- wants. The batch is the one that was begun; else the one with the least left that is enough, so that large batches stay for
-- large kits; else the largest, and it is given up for a better one as long as nothing was picked. A substitute is taken for
-- the whole line or not at all. -> lines helped, and by how much
create function reserve_batches(workshop_id integer, parts bigint[], order_id bigint, choice integer)
    returns table (kit_line bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    chosen record;
begin
    for line in
        select want.id, want.wanted - want.picked as still, used.held, used.begun, coalesce(other.part, want.part) as part
        from kit_line want
        join kit on kit.id = want.kit and kit.workshop = workshop_id and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        left join kit_line_substitute other on other.kit_line = want.id and other.place = choice
        cross join lateral (
            select (select coalesce(sum(reservation.quantity), 0) from reservation where reservation.kit_line = want.id) as held,
                   array(select distinct stock.batch from ledger join stock on stock.id = ledger.stock
                         where ledger.kit_line = want.id group by stock.part, stock.batch having sum(ledger.delta) < 0) as begun) used
        where want.part = any (parts) and coalesce(other.part, want.part) = any (parts) and one_batch(want.part)
          and (choice = 0 or other.part is not null and want.picked = 0) and (order_id is null or job_order.id = order_id)
          and want.picked + used.held < want.wanted
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
        if chosen.room > line.held and (choice = 0 or chosen.room = line.still) then
            delete from reservation where reservation.kit_line = line.id;
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

-- Whoever asks: no line of such a part has two batches, nor the part and a substitute. What was so before stays.
create function one_batch_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
declare
    found text;
begin
    if not one_batch((select part from kit_line where id = new.kit_line)) then
        return null;
    end if;
    select format('batch %s of %s', coalesce(nullif(stock.batch, ''), 'none'), part.name) into found
    from stock as here
    join (select reservation.stock from reservation where reservation.kit_line = new.kit_line
          union all
          select ledger.stock from ledger where ledger.kit_line = new.kit_line group by ledger.stock having sum(ledger.delta) < 0) used on true
    join stock on stock.id = used.stock and (stock.batch, stock.part) is distinct from (here.batch, here.part)
    join part on part.id = stock.part
    where here.id = new.stock
    limit 1;
    if found is not null then
        perform refuse('wrong-batch', 'batch', format('This kit has %s, and all of it must look alike. Take that batch, or put back '
            'what was picked of it with `ellwand kit put-back` and pick all from another.', found));
    end if;
    return null;
end
$$;
create trigger one_batch_guard after insert on reservation for each row execute function one_batch_guard();
create trigger one_batch_guard after insert on ledger for each row when (new.kind = 'pick') execute function one_batch_guard();
