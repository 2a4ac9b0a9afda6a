-- The ledger entries of the approved stock-takes $2 (an array of ids) of workshop $1: the differences, on top of whatever
-- came and went since the count. Refuses what would go below zero. -> [{"stock", "delta", "kind", "stock_take"}, ..]
with line as materialized (
    select line.*, take.bin
    from stock_take_line line join stock_take take on take.id = line.stock_take
    where take.id in (select value::bigint from jsonb_array_elements_text($2::jsonb)) and line.difference <> 0
), made as (
    insert into stock (workshop, part, bin, batch)
    select $1::integer, part, bin, batch from line
    on conflict (part, bin, batch) do nothing
    returning id, part, bin, batch, on_hand
), place as (
    select id, part, bin, batch, on_hand from made
    union all
    select stock.id, stock.part, stock.bin, stock.batch, stock.on_hand from stock join line using (part, bin, batch)
)
select coalesce(jsonb_agg(jsonb_build_object('stock', place.id, 'delta', line.difference, 'kind', 'adjustment',
                                             'stock_take', line.stock_take) order by line.stock_take, line.id), '[]')
from line join place using (part, bin, batch)
where case when place.on_hand + line.difference < 0 then refuse('count-outdated', 'stock_takes', format(
               'Stock-take %s: since %s was counted more of it left the bin than the count leaves; ask for a recount.',
               line.stock_take, line.code)) is not null
           else true end
