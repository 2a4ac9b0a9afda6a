-- The ready plans that hold pieces of order $1, and the released ones with pieces of it still to be cut; locked, so that
-- nobody releases or cuts them meanwhile.
select plan.id, plan.state from plan
where plan.state in ('ready', 'released')
  and exists (select from plan_bar join piece on piece.plan_bar = plan_bar.id
              join job_window on job_window.id = piece.job_window
              where plan_bar.plan = plan.id and job_window.job_order = $1::bigint
                and piece.state in ('planned', 'released'))
order by plan.id
for update of plan
