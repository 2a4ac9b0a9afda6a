-- Before the ledger entries $1 [{"stock", "delta"}, ..] take away what kits have reserved: gives up just as much of it,
-- from the orders that are due last. -> number of reservations touched
with change as (
    select entry.stock, sum(entry.delta) as delta
    from jsonb_to_recordset($1::jsonb) as entry (stock bigint, delta bigint)
    group by entry.stock
), lack as (
    select stock.id as stock, stock.reserved - (stock.on_hand + change.delta) as units
    from change join stock on stock.id = change.stock
    where stock.reserved > stock.on_hand + change.delta
), held as (
    select reservation.id, reservation.quantity, lack.units,
           sum(reservation.quantity) over (partition by reservation.stock
               order by job_order.due desc, job_order.priority, reservation.id desc) - reservation.quantity as before
    from lack
    join reservation on reservation.stock = lack.stock
    join kit_line on kit_line.id = reservation.kit_line
    join kit on kit.id = kit_line.kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
), cut as (
    select id, quantity, least(quantity, units - before) as units from held where before < units
), gone as (
    delete from reservation using cut where reservation.id = cut.id and cut.units = cut.quantity returning reservation.id
), less as (
    update reservation set quantity = reservation.quantity - cut.units::bigint
    from cut where reservation.id = cut.id and cut.units < cut.quantity
    returning reservation.id
)
select to_jsonb((select count(*) from gone) + (select count(*) from less))
