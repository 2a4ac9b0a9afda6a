-- The ledger entries that the receipt $2 {"kind", "lines": [{"part", "bin", "batch", "quantity" or "boxes"}]} makes in workshop
-- $1;
-- places that never held the part are made. -> [{"stock", "delta", "kind"}, ..]
with line as materialized (
    select place, part.id as part, need_bin($1::integer, item ->> 'bin', format('lines[%s].bin', place - 1)) as bin,
           coalesce(item ->> 'batch', '') as batch,
           coalesce(counted(part.unit, (item ->> 'quantity')::numeric, format('lines[%s].quantity', place - 1)),
                    (item ->> 'boxes')::bigint * boxed(part.code, part.data, format('lines[%s].boxes', place - 1))) as quantity
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
    cross join lateral (select * from part where part.id = need_part($1::integer, item ->> 'part', '') offset 0) as part
), made as (
    insert into stock (workshop, part, bin, batch)
    select distinct $1::integer, part, bin, batch from line
    on conflict (part, bin, batch) do nothing
    returning id, part, bin, batch
), place as (
    select id, part, bin, batch from made
    union all
    select stock.id, stock.part, stock.bin, stock.batch
    from (select distinct part, bin, batch from line) as named
    cross join lateral (select * from stock where (part, bin, batch) = (named.part, named.bin, named.batch) offset 0) as stock
)
select coalesce(jsonb_agg(jsonb_build_object('stock', place.id, 'delta', line.quantity,
                                             'kind', coalesce($2::jsonb ->> 'kind', 'receipt')) order by line.place), '[]')
from line join place using (part, bin, batch)
