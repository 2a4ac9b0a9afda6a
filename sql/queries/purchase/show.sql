-- The purchase that the body $2 {"purchase"} names in workshop $1, whole: its lines, what came against them, its history.
with asked as (
    select * from purchase where workshop = $1::integer and id = ($2::jsonb ->> 'purchase')::bigint
), line as (
    select purchase_line.*, coalesce(part.unit, 'each') as unit, coalesce(part.name, 'bar') as name,
           coalesce(part.code, format('%s %s %s', purchase_line.system, purchase_line.finish, mm(purchase_line.length))) as code,
           case part.unit when 'length' then round(price * quantity / 10000.0) else price * quantity end::bigint as cost
    from asked join purchase_line on purchase_line.purchase = asked.id left join part on part.id = purchase_line.part
), came as (
    select receipt.line, jsonb_agg(jsonb_build_object(
               'at', receipt.at, 'quantity', shown(line.unit, receipt.quantity), 'entry', receipt.ledger, 'bin', bin.code,
               'bar', scan_code('B', receipt.bar)) order by receipt.id) as receipts
    from line
    join purchase_receipt receipt on receipt.line = line.id
    left join ledger on ledger.id = receipt.ledger
    left join stock on stock.id = ledger.stock
    left join bin on bin.id = stock.bin
    group by receipt.line
), listed as (
    select jsonb_agg(jsonb_build_object(
               'line', line.id, 'kind', case when part is null then 'bar' else 'part' end, 'code', code, 'name', name, 'unit', unit,
               'system', system, 'finish', finish, 'length', mm(length), 'quantity', shown(unit, quantity),
               'received', shown(unit, received),
               'open', case when asked.state in ('proposed', 'ordered') then shown(unit, greatest(0, quantity - received)) else 0 end,
               'price', price, 'cost', cost, 'receipts', coalesce(came.receipts, '[]')) order by line.id) as lines,
           sum(cost) as cost, count(*) filter (where cost is null) as unpriced
    from asked, line left join came on came.line = line.id
)
select jsonb_strip_nulls(jsonb_build_object(
    'purchase', asked.id, 'supplier', nullif(supplier, ''), 'state', state, 'made_at', made_at, 'lead_days', lead_days,
    'ordered_at', ordered_at, 'expected', expected,
    'late', state = 'ordered' and expected < (now() at time zone 'UTC')::date,
    'cost', coalesce(listed.cost, 0), 'unpriced', listed.unpriced, 'lines', coalesce(listed.lines, '[]'),
    'history', (select coalesce(jsonb_agg(jsonb_build_object('at', at, 'from', nullif(from_state, ''), 'to', to_state,
                                                            'key', key_name, 'reason', nullif(reason, '')) order by id), '[]')
                from history where kind = 'purchase' and subject = asked.id)))
from asked, listed
