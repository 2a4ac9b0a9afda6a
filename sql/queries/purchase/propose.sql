-- Proposes to buy the lines $2 [{"supplier", "lead_days", "buy", "part"? | "system", "finish", "length", "unit", "price"}] of
-- reorder.list in workshop $1: one purchase for each supplier, '' where none is known.
-- -> [{"purchase", "supplier", "lines"}, ..]
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
    returning purchase
)
select coalesce(jsonb_agg(jsonb_build_object('purchase', made.id, 'supplier', nullif(supplier, ''), 'lines',
    (select count(*) from filled where filled.purchase = made.id)) order by made.id), '[]')
from made
