-- What was counted in the bin of the stock-take $3 of workshop $1, in its round $4: $2 {"lines": [{"part", "batch"?, "counted"}],
-- "at"?: when}. -> number of lines
with line as materialized (
    select place, part.id as part, coalesce(item ->> 'batch', '') as batch,
           counted(part.unit, (item ->> 'counted')::numeric, format('lines[%s].counted', place - 1)) as counted
    from jsonb_array_elements($2::jsonb -> 'lines') with ordinality as list (item, place)
    join part on part.id = need_part($1::integer, item ->> 'part', format('lines[%s].part', place - 1))
), checked as materialized (
    select line.* from (select line.*, count(*) over (partition by part, batch) as times from line) as line
    where case when times > 1 then refuse('twice-named', format('lines[%s]', place - 1),
                                          'This part and batch is counted twice here; add both up.') is not null
               else true end
), entered as (
    insert into stock_count (stock_take, round, part, batch, counted, counted_at)
    select $3::bigint, $4::integer, part, batch, counted, coalesce(($2::jsonb ->> 'at')::timestamptz, now())
    from checked order by place
    returning id
)
select to_jsonb(count(*)) from entered
