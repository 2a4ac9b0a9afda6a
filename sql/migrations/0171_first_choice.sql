-- When the part of first choice comes in while a kit still waits with a substitute, the kit gets the part that its take-off asked
-- for, and the substitute is free for others.
set local search_path = ellwand;

-- After all who were short got theirs: the lines for which a substitute is set aside get their own part where enough of it lies
-- free for the whole line (of one reel, of one finish batch, where it must be), by due date, priority and age of the order as
-- everywhere. Only kits of which nothing is picked: in the others somebody is on the walk that names the substitute. Only of
-- parts that the caller holds. -> lines changed, the substitute they gave back, and the quantity
create function return_to_first(workshop_id integer, parts bigint[])
    returns table (kit_line bigint, instead bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    source text;
begin
    for line in
        select want.id, want.part, want.wanted, part.unit, one_batch(want.part) as alike, held.instead, held.units
        from (select reservation.kit_line as id, min(stock.part) as instead, sum(reservation.quantity)::bigint as units
              from (select distinct substitute.instead from substitute
                    where substitute.first = any (parts) and substitute.instead = any (parts)) as other
              join stock on stock.part = other.instead and stock.reserved > 0
              join reservation on reservation.stock = stock.id
              join kit_line on kit_line.id = reservation.kit_line and kit_line.part <> stock.part
              group by reservation.kit_line) as held
        join kit_line want on want.id = held.id and want.part = any (parts) and want.picked = 0
        join part on part.id = want.part
        join kit on kit.id = want.kit and kit.workshop = workshop_id and kit.state = 'waiting'
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        where not exists (select from reservation join stock on stock.id = reservation.stock
                          where reservation.kit_line = want.id and stock.part <> all (parts))
        order by job_order.due, job_order.priority desc, job_order.id, job_window.position, want.position, want.id
    loop
        select case when line.unit = 'length' then stock.id::text when line.alike then stock.batch else '' end into source
        from stock
        left join reservation own on own.stock = stock.id and own.kit_line = line.id
        where stock.part = line.part
        group by 1
        having sum(stock.on_hand - stock.reserved + coalesce(own.quantity, 0)) >= line.wanted
        order by sum(stock.on_hand - stock.reserved + coalesce(own.quantity, 0)), 1
        limit 1;
        if found then
            delete from reservation where reservation.kit_line = line.id;
            insert into reservation (kit_line, stock, quantity)
            select line.id, laid.id, least(laid.units, line.wanted - laid.before)
            from (select stock.id, stock.on_hand - stock.reserved as units,
                         coalesce(sum(stock.on_hand - stock.reserved) over (order by bin.walk, bin.id, stock.id
                             rows between unbounded preceding and 1 preceding), 0) as before
                  from stock join bin on bin.id = stock.bin
                  where stock.part = line.part and stock.on_hand > stock.reserved
                    and source = case when line.unit = 'length' then stock.id::text when line.alike then stock.batch else '' end) laid
            where laid.before < line.wanted;
            kit_line := line.id;
            instead := line.instead;
            quantity := line.units;
            return next;
        end if;
    end loop;
end
$$;
