-- What lies on the rack of workshop $1: $2 {system?, finish?, kind?, longer?, after?, limit?, state?}; "longer" in mm; "next" is
-- the "after" of the page that follows. Totals are of everything that the filter lets through.
with given as (
    select * from jsonb_to_record($2::jsonb)
        given (system text, finish text, kind text, longer numeric, after bigint, "limit" integer, state text)
), chosen as (
    select bar.*, (select plan from plan_bar where plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released')) as live_plan
    from bar, given
    where bar.workshop = $1::integer and (given.system is null or bar.system = given.system)
      and (given.finish is null or bar.finish = given.finish) and (given.kind is null or bar.kind = given.kind)
      and (given.longer is null or bar.length >= tenths(given.longer))
      and case when given.state is null then bar.state in ('on-rack', 'bound') else bar.state = given.state end
), page as (
    select chosen.* from chosen, given where given.after is null or chosen.id > given.after
    order by chosen.id limit (select coalesce("limit", 200) from given)
)
select jsonb_build_object(
    'bars', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'bar', id, 'code', scan_code(case kind when 'bar' then 'B' else 'F' end, id), 'kind', kind, 'state', state,
        'system', system, 'finish', finish, 'length', mm(length), 'batch', nullif(batch, ''), 'place', nullif(place, ''),
        'squared', squared, 'origin', origin, 'arrived_at', arrived_at, 'plan', live_plan)) order by id), '[]'),
    'next', case when count(*) = (select coalesce("limit", 200) from given) then max(id) end,
    'count', (select count(*) from chosen), 'length', (select mm(coalesce(sum(length), 0)::bigint) from chosen))
from page
