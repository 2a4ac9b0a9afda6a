-- The labels of the bins that $2 {"bins": [code, ..]} names in workshop $1, with the part of one that holds a single kind:
-- [{"subject": bin, "payload": {code, name, part?}}, ..]
with named as materialized (
    select distinct need_bin($1::integer, given, format('bins[%s]', place - 1)) as id
    from jsonb_array_elements_text($2::jsonb -> 'bins') with ordinality as list (given, place)
)
select jsonb_agg(jsonb_build_object('subject', bin.id, 'payload', jsonb_strip_nulls(jsonb_build_object(
    'code', scan_code('L', bin.id), 'name', bin.code,
    'part', (select case when count(distinct part.id) = 1 then min(part.name) end
             from stock join part on part.id = stock.part
             where stock.bin = bin.id and stock.on_hand > 0)))) order by bin.walk, bin.id)
from named join bin on bin.id = named.id
