-- The plans of workshop $1, newest first: $2 {state?, live?, before?, limit}; live ones and
-- those given up have an index each. "next" is the "before" of the page after.
with given as materialized (
    select state, coalesce("limit", 50) as most, coalesce(before, 9223372036854775807) as before,
           case when live or state in ('queued', 'solving', 'ready', 'released') then 'live'
                when state in ('failed', 'dropped') then 'given up' else 'all' end as scope
    from jsonb_to_record($2::jsonb) asked (state text, live boolean, before bigint, "limit" integer)
), page as (
    select found.*
    from given
    cross join lateral (
        (select * from plan
         where given.scope = 'live' and workshop = $1::integer and state in ('queued', 'solving', 'ready', 'released')
           and (given.state is null or state = given.state) and id < given.before
         order by id desc limit given.most)
        union all
        (select * from plan
         where given.scope = 'given up' and workshop = $1::integer and state in ('failed', 'dropped') and state = given.state
           and id < given.before
         order by id desc limit given.most)
        union all
        (select * from plan
         where given.scope = 'all' and workshop = $1::integer and (given.state is null or state = given.state) and id < given.before
         order by id desc limit given.most)
    ) as found
)
select jsonb_build_object('plans', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'plan', page.id, 'state', page.state, 'system', page.system, 'finish', page.finish, 'saw', page.saw,
        'made_at', page.made_at, 'cost', page.result -> 'cost', 'bound', page.result -> 'bound',
        'proven', page.result -> 'proven', 'failure', page.failure,
        'bars', (select count(*) from plan_bar where plan_bar.plan = page.id and plan_bar.state <> 'dropped'),
        'bars_cut', (select count(*) from plan_bar where plan_bar.plan = page.id and plan_bar.state = 'cut'),
        'pieces', (select count(*) from piece join plan_bar on plan_bar.id = piece.plan_bar where plan_bar.plan = page.id)))
        order by page.id desc), '[]'),
    'next', case when count(*) = (select most from given) then min(page.id) end)
from page
