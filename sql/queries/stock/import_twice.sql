-- Refuses the lines of $2 {"lines": [{"part", "bin", "batch"?}]} in workshop $1 if a part or bin of them is unknown, or two name the
-- same part, bin and batch. -> number of lines
with given as materialized (
    select place - 1 as place, item ->> 'part' as part, item ->> 'bin' as bin, coalesce(item ->> 'batch', '') as batch
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
), named_part as materialized (
    -- each name is looked up once, however many lines have it
    select part, need_part($1::integer, part, format('lines[%s].part', min(place))) as id from given group by part
), named_bin as materialized (
    select bin, need_bin($1::integer, bin, format('lines[%s].bin', min(place))) as id from given group by bin
), again as (
    select named_part.id, named_bin.id, batch, min(place) as place
    from given join named_part on named_part.part = given.part join named_bin on named_bin.bin = given.bin
    group by named_part.id, named_bin.id, batch having count(*) > 1
)
select to_jsonb(count(*)) from given
where case when exists (select from again)
           then refuse('twice-named', format('lines[%s].part', (select min(place) from again)),
                       'This part, bin and batch has two lines; give each once.') is not null
           else true end
