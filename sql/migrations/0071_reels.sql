-- A part sold by length is cut in one length: what a kit wants of it comes from one reel. A reel is what lies in one bin under
-- one batch; reels of one part in one bin are told apart by their batches. What is left on a reel is that stock.
set local search_path = ellwand;

-- For lines of kits that are short of a part by length: sets aside the whole of what each still wants on one reel, the one with
-- the least left that is enough, so that long reels stay long; by due date, priority and age of the order. `choice`: 0 the
-- part itself, else the line's substitute of that number. Only of parts that the caller holds. -> lines helped, and by how much.
create function reserve_reels(workshop_id integer, parts bigint[], order_id bigint, choice integer)
    returns table (kit_line bigint, quantity bigint) language plpgsql as
$$
declare
    line record;
    reel bigint;
begin
    for line in
        select want.id, want.wanted - want.picked as still, used.held, used.begun, coalesce(other.part, want.part) as part
        from kit_line want
        join part on part.id = want.part and part.unit = 'length'
        join kit on kit.id = want.kit and kit.workshop = workshop_id and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        left join kit_line_substitute other on other.kit_line = want.id and other.place = choice
        cross join lateral (
            select (select coalesce(sum(reservation.quantity), 0) from reservation where reservation.kit_line = want.id) as held,
                   array(select ledger.stock from ledger where ledger.kit_line = want.id
                         group by ledger.stock having sum(ledger.delta) < 0) as begun) used
        where want.part = any (parts) and coalesce(other.part, want.part) = any (parts)
          and (choice = 0 or other.part is not null) and (order_id is null or job_order.id = order_id)
          and want.picked + used.held < want.wanted
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
            delete from reservation where reservation.kit_line = line.id;
            insert into reservation (kit_line, stock, quantity) values (line.id, reel, line.still);
            kit_line := line.id;
            quantity := line.still - line.held;
            return next;
        end if;
    end loop;
end
$$;

-- Whoever asks: no line of a part by length has two reels.
create function one_reel_guard() returns trigger language plpgsql security definer set search_path = ellwand, pg_temp as
$$
begin
    if exists (select from kit_line line join part on part.id = line.part where line.id = new.kit_line and part.unit = 'length')
       and (exists (select from reservation where kit_line = new.kit_line and stock <> new.stock)
            or exists (select from ledger where kit_line = new.kit_line and stock <> new.stock
                       group by stock having sum(delta) < 0)) then
        perform refuse('two-reels', 'kit line ' || new.kit_line,
                       'It is cut in one length, so it comes from one reel: put back what was taken from another.');
    end if;
    return null;
end
$$;
create trigger one_reel_guard after insert or update on reservation for each row execute function one_reel_guard();
create trigger one_reel_guard after insert on ledger for each row when (new.kind = 'pick') execute function one_reel_guard();
