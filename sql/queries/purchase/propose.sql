-- Proposes to buy the lines $2 [{"supplier", "lead_days", "buy", "part"? | "system", "finish", "length", "unit", "price"}] of
-- reorder.list in workshop $1: one purchase for each supplier, '' where none is known.
-- -> [{"purchase", "supplier", "lines", "cost", "least_order"?: what an order must come to, "below_least"?: what is missing}, ..]
with wanted as materialized (
    select coalesce(line.supplier, '') as supplier, ceil(line.lead_days)::integer as lead_days, part.id as part,
           line.system, line.finish, tenths(line.length) as length, line.price,
           counted(line.unit, line.buy, 'lines') as quantity
    from jsonb_to_recordset($2::jsonb) as line
        (kind text, code text, supplier text, lead_days numeric, unit text, buy numeric, price bigint, system text, finish text, length numeric)
    left join part on line.kind = 'part' and part.workshop = $1::integer and part.code = line.code
), made as (
    insert into purchase (workshop, supplier, lead_days, state)
    select $1::integer, supplier, least(1000, max(lead_days)), 'proposed' from wanted group by supplier order by supplier
    returning id, supplier
), filled as (
    insert into purchase_line (purchase, part, system, finish, length, quantity, price)
    select made.id, part, system, finish, length, quantity, price
    from wanted join made using (supplier) order by made.id, part, system, finish, length
    returning purchase, case when part in (select id from part where unit = 'length') then round(price * quantity / 10000.0)
                             else price * quantity end as cost
)
select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object('purchase', made.id, 'cost', filled.cost, 'least_order', told.least,
        'below_least', nullif(greatest(0, told.least - filled.cost), 0)))
    || jsonb_build_object('supplier', nullif(made.supplier, ''), 'lines', filled.lines) order by made.id), '[]')
from made
cross join lateral (select count(*) as lines, coalesce(sum(cost), 0) as cost from filled where filled.purchase = made.id) filled
left join lateral (select (listed.item ->> 'least_order')::bigint as least
                   from (select data from catalogue_version where workshop = $1::integer order by version desc limit 1) newest,
                        jsonb_array_elements(newest.data -> 'suppliers') as listed (item)
                   where listed.item ->> 'code' = made.supplier) told on true
