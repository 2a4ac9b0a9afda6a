-- The plans of workshop $1, newest first: $2 {state?, live?, before?, limit}; "next" is the "before" of the page after.
with given as (
    select * from jsonb_to_record($2::jsonb) given (state text, live boolean, before bigint, "limit" integer)
), page as (
    select plan.* from plan, given
    where plan.workshop = $1::integer and (given.state is null or plan.state = given.state)
      and (given.live is not true or plan.state in ('queued', 'solving', 'ready', 'released'))
      and (given.before is null or plan.id < given.before)
    order by plan.id desc limit (select coalesce("limit", 50) from given)
)
select jsonb_build_object('plans', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'plan', page.id, 'state', page.state, 'system', page.system, 'finish', page.finish, 'saw', page.saw,
        'made_at', page.made_at, 'cost', page.result -> 'cost', 'bound', page.result -> 'bound',
        'proven', page.result -> 'proven', 'failure', page.failure,
        'bars', (select count(*) from plan_bar where plan_bar.plan = page.id and plan_bar.state <> 'dropped'),
        'bars_cut', (select count(*) from plan_bar where plan_bar.plan = page.id and plan_bar.state = 'cut'),
        'pieces', (select count(*) from piece join plan_bar on plan_bar.id = piece.plan_bar where plan_bar.plan = page.id)))
        order by page.id desc), '[]'),
    'next', case when count(*) = (select coalesce("limit", 50) from given) then min(page.id) end)
from page
