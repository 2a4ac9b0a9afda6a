-- The stock-takes $2 {"stock_takes": [id, ..]} of workshop $1 as they are counted: blind, without what the books have, while
-- they are open, and for whoever may not approve ($3 whether he may). -> {"stock_takes": [{stock_take, bin?, code?, place?, state,
-- round, opened_at, counted_at?, lines: [{part, code, name, unit, batch, counted?, booked?, difference?, value?, large?}], found,
-- bars?: [{code, what: there, moved, back, new or missing, ..}]}]}
with asked as materialized (
    select distinct value::bigint as id from jsonb_array_elements_text($2::jsonb -> 'stock_takes')
), take as materialized (
    select stock_take.*, $3::boolean and stock_take.state <> 'open' as tells
    from asked left join stock_take on stock_take.id = asked.id and stock_take.workshop = $1::integer
    where case when stock_take.id is null then refuse('not-found', 'stock_takes', format('There is no stock-take %s.', asked.id)) is not null
               else true end
), sheet as (
    select take.id as take, stock.part, stock.batch from take join stock on stock.bin = take.bin and stock.on_hand > 0
    where take.state = 'open' and take.asks = 'all'
    union
    select take.id, line.part, line.batch from take join stock_take_line line on line.stock_take = take.id
    where take.state <> 'open' or line.round = take.round or (take.asks = 'different' and line.difference <> 0)
       or (take.asks = 'large' and line.large)
), line as (
    select sheet.take, take.tells, part.code, part.name, part.unit, sheet.part, sheet.batch, line.booked, line.difference, line.value,
           line.large, case when take.state <> 'open' or line.round = take.round then line.counted end as counted
    from sheet
    join take on take.id = sheet.take
    join part on part.id = sheet.part
    left join stock_take_line line on line.stock_take = sheet.take and line.part = sheet.part and line.batch = sheet.batch
), rack as (
    select take.id as take, found.bar, coalesce(bar.kind, 'offcut') as kind, coalesce(bar.system, found.system) as system,
           coalesce(bar.finish, found.finish) as finish, coalesce(bar.length, found.length) as length,
           case when found.bar is null then 'new' when bar.state = 'written-off' then 'back'
                when bar.place <> take.rack_place then 'moved' else 'there' end as what
    from take join stock_count_bar found on found.stock_take = take.id left join bar on bar.id = found.bar
    where take.tells
    union all
    select take.id, bar.id, bar.kind, bar.system, bar.finish, bar.length, 'missing'
    from take join stock_take_missing missing on missing.stock_take = take.id join bar on bar.id = missing.bar
    where take.tells
)
select jsonb_build_object('stock_takes', jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
    'stock_take', take.id, 'bin', bin.code, 'code', scan_code('L', bin.id), 'place', take.rack_place, 'state', take.state,
    'round', take.round, 'opened_at', take.opened_at, 'counted_at', take.counted_at,
    'lines', case when take.bin is not null then (
        select coalesce(jsonb_agg(jsonb_build_object(
            'part', line.code, 'code', scan_code('T', line.part), 'name', line.name, 'unit', line.unit, 'batch', line.batch,
            'counted', shown(unit, counted), 'booked', case when line.tells then shown(unit, booked) end,
            'difference', case when line.tells then shown(unit, difference) end, 'value', case when line.tells then value end,
            'large', case when line.tells then large end) order by line.code, line.batch), '[]')
        from line where line.take = take.id) end,
    'found', case when take.bin is null then (select count(*) from stock_count_bar found where found.stock_take = take.id) end,
    'bars', case when take.bin is null and take.tells then (
        select coalesce(jsonb_agg(jsonb_build_object(
            'code', scan_code(case kind when 'bar' then 'B' else 'F' end, bar), 'what', what, 'kind', kind, 'system', system,
            'finish', finish, 'length', mm(length)) order by what, bar), '[]')
        from rack where rack.take = take.id) end)) order by bin.walk, bin.id, take.id))
from take left join bin on bin.id = take.bin
