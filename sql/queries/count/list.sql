-- The stock-takes of workshop $1, newest first: $2 {state?: else those under way, before?, limit?}; "next" is the "before" of
-- the page after. -> {"stock_takes": [{stock_take, bin?, place?, state, round, opened_at, counted_at?, counted, different?}], "next"}
with given as (
    select * from jsonb_to_record($2::jsonb) given (state text, before bigint, "limit" integer)
), page as (
    select stock_take.* from stock_take, given
    where stock_take.workshop = $1::integer
      and case when given.state is null then stock_take.state in ('open', 'counted') else stock_take.state = given.state end
      and (given.before is null or stock_take.id < given.before)
    order by stock_take.id desc limit (select coalesce("limit", 100) from given)
)
select jsonb_build_object('stock_takes', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'stock_take', page.id, 'bin', bin.code, 'place', rack_place, 'state', page.state, 'round', page.round,
        'opened_at', opened_at, 'counted_at', counted_at, 'counted', so_far.lines,
        'different', case when page.state in ('counted', 'approved') then so_far.different end)) order by page.id desc), '[]'),
    'next', case when count(*) = (select coalesce("limit", 100) from given) then min(page.id) end)
from page
left join bin on bin.id = page.bin
cross join lateral (
    select case when page.bin is not null then (select count(*) from stock_take_line line where line.stock_take = page.id)
                else (select count(*) from stock_count_bar where stock_take = page.id) end as lines,
           case when page.bin is not null
                then (select count(*) from stock_take_line line where line.stock_take = page.id and line.difference <> 0)
                else (select count(*) from stock_take_missing where stock_take = page.id)
                   + (select count(*) from stock_count_bar found left join bar on bar.id = found.bar
                      where found.stock_take = page.id and (found.bar is null or bar.place <> page.rack_place)) end as different
) as so_far
