-- Opens a stock-take of each bin and each place of the rack that $2 {"bins"?: [..], "places"?: [..], "percent"?, "value"?} names
-- in workshop $1. Refuses a place that is being counted already. -> {"stock_takes": [id, ..]}
with bins as materialized (
    select need_bin($1::integer, given, format('bins[%s]', place - 1)) as bin, min(place) as place
    from jsonb_array_elements_text($2::jsonb -> 'bins') with ordinality as list (given, place)
    group by 1
), wanted as materialized (
    select bin, null as rack_place, format('bins[%s]', place - 1) as field, place, 1 as section from bins
    union all
    select null, given, format('places[%s]', min(place) - 1), min(place), 2
    from jsonb_array_elements_text($2::jsonb -> 'places') with ordinality as list (given, place)
    group by given
), free as materialized (
    select wanted.* from wanted
    left join stock_take on stock_take.workshop = $1::integer and stock_take.state in ('open', 'counted')
                        and (stock_take.bin = wanted.bin or stock_take.rack_place = wanted.rack_place)
    where case when stock_take.id is not null
               then refuse('already-open', field, format('Stock-take %s of this place is %s; end it or drop it first.',
                                                         stock_take.id, stock_take.state)) is not null
               else true end
), made as (
    insert into stock_take (workshop, bin, rack_place, state, recount_percent, recount_value)
    select $1::integer, bin, rack_place, 'open', coalesce(($2::jsonb ->> 'percent')::integer, 5),
           coalesce(($2::jsonb ->> 'value')::bigint, 500)
    from free order by section, place
    returning id
)
select jsonb_build_object('stock_takes', coalesce(jsonb_agg(id order by id), '[]')) from made
