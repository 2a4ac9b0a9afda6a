-- What a lot of quantities $2 {"lines": [{"part", "bin", "batch"?, "quantity", "booked"?}], "first": lines before these} would change in
-- workshop $1, no place named twice (stock/import_twice), where
-- "booked" is what the books had when the file was written: then only the difference counts, on top of what came and went
-- since. Refuses what is unknown, or would go below zero. -> [{place (of the line, from 0), part, name, unit, bin, batch, from, to,
-- part_id, bin_id, delta}, ..]
with given as materialized (
    select place - 1 + ($2::jsonb ->> 'first')::bigint as place, item ->> 'part' as part, item ->> 'bin' as bin, coalesce(item ->> 'batch', '') as batch,
           (item ->> 'quantity')::numeric as quantity, (item ->> 'booked')::numeric as booked
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
), named_part as materialized (
    -- each name is looked up once, however many lines have it
    select part, need_part($1::integer, part, format('lines[%s].part', min(place))) as id from given group by part
), named_bin as materialized (
    select bin, need_bin($1::integer, bin, format('lines[%s].bin', min(place))) as id from given group by bin
), line as materialized (
    select given.place, part.id as part, part.code, part.name, part.unit, bin.id as bin, bin.code as bin_code, given.batch,
           counted(part.unit, given.quantity, format('lines[%s].quantity', given.place)) as quantity,
           counted(part.unit, given.booked, format('lines[%s].booked', given.place)) as booked
    from given
    join named_part on named_part.part = given.part join part on part.id = named_part.id
    join named_bin on named_bin.bin = given.bin join bin on bin.id = named_bin.id
), change as (
    select line.*, coalesce(stock.on_hand, 0) as on_hand, line.quantity - coalesce(line.booked, stock.on_hand, 0) as delta
    from line left join stock on stock.part = line.part and stock.bin = line.bin and stock.batch = line.batch
)
select coalesce(jsonb_agg(jsonb_build_object(
        'place', place, 'part', code, 'name', name, 'unit', unit, 'bin', bin_code, 'batch', batch, 'from', shown(unit, on_hand),
        'to', shown(unit, on_hand + delta), 'part_id', part, 'bin_id', bin, 'delta', delta) order by place)
    filter (where delta <> 0), '[]')
from change
where case
    when on_hand + delta < 0 then refuse('out-of-range', format('lines[%s].quantity', place), format(
        'Only %s are there now, fewer than when the file was written; export again.', shown_words(unit, on_hand))) is not null
    else true end
