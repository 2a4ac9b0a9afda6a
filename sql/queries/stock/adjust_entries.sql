-- The ledger entries that bring stock to what was counted: $2 {"lines": [{"part", "bin", "batch", "counted" or "by"}]}, in
-- workshop $1. -> [{"stock", "delta", "kind"}, ..] without the lines that change nothing
with line as materialized (
    select place, part.id as part, part.unit,
           need_bin($1::integer, item ->> 'bin', format('lines[%s].bin', place - 1)) as bin,
           coalesce(item ->> 'batch', '') as batch,
           counted(part.unit, (item ->> 'counted')::numeric, format('lines[%s].counted', place - 1)) as found,
           counted(part.unit, (item ->> 'by')::numeric, format('lines[%s].by', place - 1)) as delta
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
    cross join lateral (select * from part where part.id = need_part($1::integer, item ->> 'part', '') offset 0) as part
), made as (
    insert into stock (workshop, part, bin, batch)
    select distinct $1::integer, part, bin, batch from line
    on conflict (part, bin, batch) do nothing
    returning id, part, bin, batch, on_hand
), place as (
    select id, part, bin, batch, on_hand from made
    union all
    select stock.id, stock.part, stock.bin, stock.batch, stock.on_hand
    from (select distinct part, bin, batch from line) as named
    cross join lateral (select * from stock where (part, bin, batch) = (named.part, named.bin, named.batch) offset 0) as stock
), change as (
    select line.place, place.id, coalesce(line.found - place.on_hand, line.delta) as delta,
           place.on_hand + coalesce(line.found - place.on_hand, line.delta) as after, line.unit, place.on_hand,
           count(*) over (partition by place.id) as times
    from line join place using (part, bin, batch)
)
select coalesce(jsonb_agg(jsonb_build_object('stock', id, 'delta', delta, 'kind', 'adjustment') order by place)
                    filter (where delta <> 0), '[]')
from change
where case
    when times > 1 then refuse('twice-named', format('lines[%s]', place - 1),
                               'This part, bin and batch is adjusted twice; give each once.') is not null
    when after < 0 then refuse('out-of-range', format('lines[%s]', place - 1),
                               format('Only %s are there; no more can be taken away.', shown_words(unit, on_hand))) is not null
    else true end
