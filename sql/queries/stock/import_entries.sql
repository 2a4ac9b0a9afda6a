-- The ledger entries of the changes $2 [{"part_id", "bin_id", "batch", "delta"}, ..] in workshop $1; places that never held the
-- part are made. -> [{"stock", "delta", "kind"}, ..]
with change as materialized (
    select part_id, bin_id, batch, delta
    from jsonb_to_recordset($2::jsonb) as change (part_id bigint, bin_id bigint, batch text, delta bigint)
), made as (
    insert into stock (workshop, part, bin, batch)
    select $1::integer, part_id, bin_id, batch from change
    on conflict (part, bin, batch) do nothing
    returning id, part, bin, batch
), place as (
    select id, part, bin, batch from made
    union all
    select stock.id, stock.part, stock.bin, stock.batch
    from stock join change on stock.part = change.part_id and stock.bin = change.bin_id and stock.batch = change.batch
)
select coalesce(jsonb_agg(jsonb_build_object('stock', place.id, 'delta', change.delta, 'kind', 'adjustment') order by place.id), '[]')
from change join place on place.part = change.part_id and place.bin = change.bin_id and place.batch = change.batch
