-- The bar of a plan that is to be confirmed, by plan bar $2 or by bar $3 (one of them null), in workshop $1; locked with its
-- plan. Among several lives of one bar the one still to be cut comes first. "pieces" are ids parted by blanks.
select plan_bar.id, plan_bar.plan, plan_bar.state, plan_bar.remainder, plan_bar.bar_length,
       array_to_string(array(select piece.id from piece where piece.plan_bar = plan_bar.id order by piece.sequence), ' ') as pieces
from plan_bar join plan on plan.id = plan_bar.plan
where plan_bar.workshop = $1::integer and (plan_bar.id = $2::bigint or plan_bar.bar = $3::bigint)
order by plan_bar.state in ('planned', 'released') desc, plan_bar.id desc
limit 1
for update of plan, plan_bar
