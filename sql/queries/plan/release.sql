-- Releases the ready plan $1, locked before: its bars are bound and its pieces go to the saw. Answers how many of each.
with released as (
    update plan set state = 'released' where id = $1::bigint returning id
), bars as (
    update plan_bar set state = 'released' from released where plan_bar.plan = released.id and plan_bar.state = 'planned'
    returning plan_bar.id, bar
), bound as (
    update bar set state = 'bound' from bars where bar.id = bars.bar
), pieces as (
    update piece set state = 'released' from bars where piece.plan_bar = bars.id returning 1
)
select (select count(*) from bars) as bars, (select count(*) from pieces) as pieces
