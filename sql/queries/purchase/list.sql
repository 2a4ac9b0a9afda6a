-- The purchases of workshop $1, newest first: $2 {state?, open?, before?, limit?}; "next" is the "before" of the page after.
with given as materialized (
    select state, coalesce("limit", 100) as most, coalesce(before, 9223372036854775807) as before,
           case when open or state in ('proposed', 'ordered') then 'open' when state = 'cancelled' then state else 'all' end as scope
    from jsonb_to_record($2::jsonb) asked (state text, open boolean, before bigint, "limit" integer)
), page as (
    select found.*
    from given
    cross join lateral (
        (select * from purchase
         where given.scope = 'open' and workshop = $1::integer and state in ('proposed', 'ordered')
           and (given.state is null or state = given.state) and id < given.before
         order by id desc limit given.most)
        union all
        (select * from purchase
         where given.scope = 'cancelled' and workshop = $1::integer and state = 'cancelled' and id < given.before
         order by id desc limit given.most)
        union all
        (select * from purchase
         where given.scope = 'all' and workshop = $1::integer and (given.state is null or state = given.state) and id < given.before
         order by id desc limit given.most)
    ) as found
), told as (
    select page.*, lines.*
    from page, lateral (
        select count(*) as lines, count(*) filter (where received < quantity) as lines_open,
               coalesce(sum(case part.unit when 'length' then round(price * quantity / 10000.0) else price * quantity end), 0)::bigint as cost
        from purchase_line left join part on part.id = purchase_line.part
        where purchase_line.purchase = page.id) lines
)
select jsonb_build_object('purchases', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'purchase', id, 'supplier', nullif(supplier, ''), 'state', state, 'made_at', made_at, 'ordered_at', ordered_at,
        'expected', expected, 'late', state = 'ordered' and expected < (now() at time zone 'UTC')::date,
        'lines', lines, 'lines_open', case when state in ('proposed', 'ordered') then lines_open else 0 end, 'cost', cost))
        order by id desc), '[]'),
    'next', case when count(*) = (select most from given) then min(id) end)
from told
