-- Before the ledger entries $1 [{"stock", "delta"}, ..] take away what kits have reserved: gives up just as much of it,
-- from the orders that are due last. -> [{kit, order, window, part, name, unit, quantity}, ..]: what each kit lost
with change as (
    select entry.stock, sum(entry.delta) as delta
    from jsonb_to_recordset($1::jsonb) as entry (stock bigint, delta bigint)
    group by entry.stock
), lack as (
    select stock.id as stock, stock.part, stock.reserved - (stock.on_hand + change.delta) as units
    from change cross join lateral (select * from stock where stock.id = change.stock offset 0) as stock
    where stock.reserved > stock.on_hand + change.delta
), held as (
    select reservation.id, reservation.quantity, lack.part, lack.units, kit.id as kit, job_order.number, job_window.name,
           job_order.due,
           sum(reservation.quantity) over (partition by reservation.stock
               order by job_order.due desc, job_order.priority, reservation.id desc) - reservation.quantity as before
    from lack
    cross join lateral (select * from reservation where reservation.stock = lack.stock offset 0) as reservation
    join kit_line on kit_line.id = reservation.kit_line
    join kit on kit.id = kit_line.kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
), cut as materialized (
    -- what is cut in one length is no longer to be had from a reel that has less
    select held.*, case part.unit when 'length' then quantity else least(quantity, units - before) end as lost
    from held join part on part.id = held.part where before < units
), gone as (
    delete from reservation using cut where reservation.id = cut.id and cut.lost = cut.quantity
), less as (
    update reservation set quantity = reservation.quantity - cut.lost::bigint
    from cut where reservation.id = cut.id and cut.lost < cut.quantity
), told as (
    select cut.kit, cut.number, cut.name as window_name, cut.due, part.code, part.name, part.unit, sum(cut.lost) as lost
    from cut join part on part.id = cut.part
    group by cut.kit, cut.number, cut.name, cut.due, part.id
)
select coalesce(jsonb_agg(jsonb_build_object(
    'kit', scan_code('K', kit), 'order', number, 'window', window_name, 'part', code, 'name', name, 'unit', unit,
    'quantity', shown(unit, lost)) order by due, number, window_name, code), '[]')
from told
