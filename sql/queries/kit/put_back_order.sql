-- Puts back what was picked for an order, each part into the bin it came from, as counter-entries of the ledger.
-- The parts are locked before (reservation/lock).
-- $1 workshop, $2 order -> [{kit, part, name, unit, bin, quantity}, ..]: what a person now has to carry back
with taken as (
    select ledger.kit_line, ledger.stock, -sum(ledger.delta) as quantity
    from job_window
    join kit on kit.job_window = job_window.id and kit.workshop = $1
    join kit_line on kit_line.kit = kit.id
    join ledger on ledger.kit_line = kit_line.id
    where job_window.job_order = $2
    group by ledger.kit_line, ledger.stock
    having sum(ledger.delta) < 0
), returned as (
    insert into ledger (stock, delta, kind, kit_line)
    select stock, quantity, 'put-back', kit_line from taken order by stock, kit_line
    returning stock, delta, kit_line
)
select coalesce(jsonb_agg(jsonb_build_object(
           'kit', scan_code('K', kit_line.kit), 'part', part.code, 'name', part.name, 'unit', part.unit, 'bin', bin.code,
           'quantity', case part.unit when 'length' then mm(returned.delta) else returned.delta end)
           order by bin.walk, bin.id, part.code), '[]')
from returned
join kit_line on kit_line.id = returned.kit_line
join stock on stock.id = returned.stock
join part on part.id = stock.part
join bin on bin.id = stock.bin
