-- What lies on the rack of workshop $1: $2 {system?, finish?, kind?, batch?, longer?, shorter?, by?: "length" puts the shortest first,
-- after?, limit?, state?}; "longer" and "shorter" in mm; "next" is the "after" of the page that follows. Totals are of everything that the filter lets through; there are none for what was
-- cut, of which there is more every day.
with asked as materialized (
    select given.*, coalesce(given."limit", 200) as most, coalesce(given.after, 0) as last, tenths(given.longer) as least,
           tenths(given.shorter) as longest, coalesce(given.state, 'on-rack') as scope, coalesce(given.by = 'length', false) as by_length,
           case when given.by = 'length' then (select length from bar where workshop = $1::integer and id = given.after) end as last_length
    from jsonb_to_record($2::jsonb)
        given (system text, finish text, kind text, batch text, longer numeric, shorter numeric, by text, after bigint, "limit" integer,
               state text)
), there as (
    select bar.*
    from asked
    join bar on asked.scope in ('on-rack', 'bound') and bar.workshop = $1::integer and bar.state in ('on-rack', 'bound')
            and (asked.state is null or bar.state = asked.state)
    union all
    select bar.*
    from asked
    join bar on asked.scope = 'written-off' and bar.workshop = $1::integer and bar.state = 'written-off'
), matching as (
    select there.* from there, asked
    where (asked.system is null or there.system = asked.system) and (asked.finish is null or there.finish = asked.finish)
      and (asked.kind is null or there.kind = asked.kind) and (asked.least is null or there.length >= asked.least)
      and (asked.batch is null or there.batch = asked.batch) and (asked.longest is null or there.length <= asked.longest)
), page as (
    select found.*, (select plan from plan_bar where plan_bar.bar = found.id and plan_bar.state in ('planned', 'released')) as live_plan
    from asked
    cross join lateral (
        (select * from matching
         where case when asked.last_length is null then id > asked.last else (length, id) > (asked.last_length, asked.last) end
         order by case when asked.by_length then length end, id limit asked.most)
        union all
        (select * from bar
         where asked.scope = 'cut' and workshop = $1::integer and state = 'cut' and id > asked.last
           and (asked.system is null or system = asked.system) and (asked.finish is null or finish = asked.finish)
           and (asked.kind is null or kind = asked.kind) and (asked.least is null or length >= asked.least)
           and (asked.batch is null or batch = asked.batch) and (asked.longest is null or length <= asked.longest)
         order by id limit asked.most)
    ) as found
)
select jsonb_build_object(
    'bars', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'bar', id, 'code', scan_code(case kind when 'bar' then 'B' else 'F' end, id), 'kind', kind, 'state', state,
        'system', system, 'finish', finish, 'length', mm(length), 'batch', nullif(batch, ''), 'place', nullif(place, ''),
        'squared', squared, 'origin', origin, 'arrived_at', arrived_at, 'plan', live_plan))
        order by case when (select by_length from asked) then length end, id), '[]'),
    'next', case when count(*) = (select most from asked)
                 then (array_agg(id order by case when (select by_length from asked) then length end desc, id desc))[1] end,
    'count', (select count(*) from matching having (select scope <> 'cut' from asked)),
    'length', (select mm(coalesce(sum(length), 0)::bigint) from matching having (select scope <> 'cut' from asked)))
from page
