-- A line of which a part was picked from a substitute goes on with that substitute and its batch, and with as much of it as there
-- is: before, it waited for ever while goods lay free, because what was begun may be mixed with nothing else.
set local search_path = ellwand;

create or replace function reserve_batches(workshop_id integer, parts bigint[], order_id bigint, choice integer)
    returns table (kit_line bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    chosen record;
    alike bigint[] := array(select part.id from part where part.id = any (parts) and one_batch(part.id));
begin
    if cardinality(alike) = 0 then
        return;
    end if;
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
        where want.part = any (alike) and want.picked < want.wanted and coalesce(other.part, want.part) = any (parts)
          and (choice = 0 or other.part is not null) and (order_id is null or job_order.id = order_id)
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
        if chosen.room > line.held and (choice = 0 or chosen.room = line.still or line.begun <> '{}') then
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
