-- Changes the lines $2 [{"line", "quantity"?, "price"?}] of purchase $1. -> how many there were
with given as materialized (
    select place, line.id, coalesce(part.unit, 'each') as unit, (item ->> 'quantity')::numeric as quantity, (item ->> 'price')::bigint as price
    from jsonb_array_elements($2::jsonb) with ordinality as list (item, place)
    join purchase_line line on line.purchase = $1::bigint and line.id = (item ->> 'line')::bigint
    left join part on part.id = line.part
), changed as (
    update purchase_line
    set quantity = coalesce(counted(given.unit, given.quantity, format('lines[%s].quantity', place - 1)), purchase_line.quantity),
        price = coalesce(given.price, purchase_line.price)
    from given where given.id = purchase_line.id
    returning purchase_line.id
)
select to_jsonb(count(*)) from changed
