-- The released pieces of order $1 that are not cut yet leave their bars, whose plans are locked: the remainder of a bar
-- grows by each piece and its kerf, a bar without pieces goes back to the rack, a plan without bars to cut is over.
with leaving as (
    select piece.id, piece.plan_bar, piece.length
    from piece join job_window on job_window.id = piece.job_window
    where job_window.job_order = $1::bigint and piece.state = 'released'
), bars as (
    select plan_bar.id, plan_bar.plan, plan_bar.bar,
           count(piece.id) filter (where leaving.id is null) as pieces,
           plan_bar.bar_length - plan_bar.lead_trim
               - coalesce(sum(piece.length + plan_bar.kerf) filter (where leaving.id is null), 0) as rest
    from plan_bar join piece on piece.plan_bar = plan_bar.id left join leaving on leaving.id = piece.id
    where plan_bar.id in (select plan_bar from leaving)
    group by plan_bar.id
), pieces as (
    update piece set state = 'waiting', plan_bar = null, sequence = null where id in (select id from leaving)
), shortened as (
    update plan_bar set kerfs = bars.pieces - case when rest < 0 and rest = -plan_bar.kerf then 1 else 0 end,
        remainder = greatest(rest, 0), returns = greatest(rest, 0) >= usable_remainder and rest > 0
    from bars, workshop
    where plan_bar.id = bars.id and bars.pieces > 0 and workshop.id = plan_bar.workshop
), emptied as (
    update plan_bar set state = 'dropped' from bars where plan_bar.id = bars.id and bars.pieces = 0
), unbound as (
    update bar set state = 'on-rack' from bars where bar.id = bars.bar and bars.pieces = 0
), over as (
    update plan set state = case when exists (select from plan_bar where plan_bar.plan = plan.id and plan_bar.state = 'cut')
                                 then 'done' else 'dropped' end
    where id in (select plan from bars)
      and not exists (select from plan_bar left join bars on bars.id = plan_bar.id
                      where plan_bar.plan = plan.id and plan_bar.state = 'released' and coalesce(bars.pieces, 1) > 0)
    returning id
)
select jsonb_build_object('pieces', (select count(*) from leaving), 'bars', (select count(*) from bars where pieces = 0),
                          'plans_over', (select count(*) from over))
