-- Drops the plans $1 (an array of ids), locked before: what is not yet cut goes back, pieces to the pool and bars to the
-- rack. A released plan with bars already cut is done with those. Answers the pieces and bars given back.
with plans as (
    select value::bigint as id from jsonb_array_elements_text($1::jsonb)
), open_bars as (
    select plan_bar.id, plan_bar.bar from plan_bar join plans on plans.id = plan_bar.plan
    where plan_bar.state in ('planned', 'released')
), pieces as (
    update piece set state = 'waiting', plan_bar = null, sequence = null
    where plan_bar in (select id from open_bars) and state in ('planned', 'released')
    returning 1
), bars as (
    update bar set state = 'on-rack' where id in (select bar from open_bars) and state = 'bound'
), dropped as (
    update plan_bar set state = 'dropped' where id in (select id from open_bars)
    returning 1
), closed as (
    update plan set leased_by = null, leased_until = null,
        state = case when exists (select from plan_bar where plan_bar.plan = plan.id and plan_bar.state = 'cut')
                     then 'done' else 'dropped' end
    where id in (select id from plans)
    returning id, state
)
select jsonb_build_object('pieces', (select count(*) from pieces), 'bars', (select count(*) from dropped),
                          'plans', (select jsonb_agg(jsonb_build_object('plan', id, 'state', state) order by id) from closed))
