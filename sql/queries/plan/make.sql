-- Queues a plan for saw $2 of workshop $1 for every system and finish with waiting pieces of taken orders, within the filter
-- $3 ({system, finish, due, time_limit_ms}, each but the last may be null). A group that is being planned already
-- keeps its plan. null: there is no such saw.
with given as (
    select * from jsonb_to_record($3::jsonb) given (system text, finish text, due date, time_limit_ms integer)
), groups as (
    select piece.system, piece.finish, count(*) as pieces
    from given join piece on piece.workshop = $1::integer and piece.state = 'waiting'
        and piece.system = coalesce(given.system, piece.system) and piece.finish = coalesce(given.finish, piece.finish)
    join job_window on job_window.id = piece.job_window
    join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        and (given.due is null or job_order.due <= given.due)
    group by piece.system, piece.finish
), busy as (
    select distinct on (groups.system, groups.finish) plan.id, groups.* from groups
    join plan on plan.workshop = $1::integer and plan.system = groups.system and plan.finish = groups.finish
             and plan.state in ('queued', 'solving')
    order by groups.system, groups.finish, plan.id
), made as (
    insert into plan (workshop, system, finish, saw, state, time_limit_ms, due_until)
    select $1::integer, groups.system, groups.finish, $2, 'queued', given.time_limit_ms, given.due
    from groups, given
    where exists (select from saw where workshop = $1::integer and code = $2)
      and not exists (select from busy where busy.system = groups.system and busy.finish = groups.finish)
    order by groups.system, groups.finish
    returning id, system, finish
)
select case when exists (select from saw where workshop = $1::integer and code = $2)
            then coalesce(jsonb_agg(row order by row ->> 'system', row ->> 'finish'), '[]') end from (
    select jsonb_build_object('plan', made.id, 'system', made.system, 'finish', made.finish, 'pieces', pieces, 'new', true) as row
    from made join groups on groups.system = made.system and groups.finish = made.finish
    union all
    select jsonb_build_object('plan', id, 'system', system, 'finish', finish, 'pieces', pieces, 'new', false) from busy
) rows
