-- The released plan $1 is done when none of its bars is still to be cut.
update plan set state = 'done'
where id = $1::bigint and state = 'released'
  and not exists (select from plan_bar where plan_bar.plan = plan.id and plan_bar.state = 'released')
returning id
