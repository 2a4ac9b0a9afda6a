-- Invariant 7: each state of workshop $1 is where its history ends, and every step of that history was allowed, follows
-- the one before, and names a time, a key and a reason. -> {"checked": steps of history, "findings": [{subject, message}]}
with step as (
    select history.*, lag(to_state, 1, '') over same as before,
           row_number() over (partition by kind, subject order by id desc) = 1 as newest
    from history
    where workshop = $1::integer
    window same as (partition by kind, subject order by id)
), thing (kind, id, state) as (
    select 'order', id, state from job_order where workshop = $1::integer
    union all select 'piece', id, state from piece where workshop = $1::integer
    union all select 'kit', id, state from kit where workshop = $1::integer
    union all select 'plan', id, state from plan where workshop = $1::integer
    union all select 'plan-bar', id, state from plan_bar where workshop = $1::integer
    union all select 'bar', id, state from bar where workshop = $1::integer
    union all select 'print', id, state from print_job where workshop = $1::integer
    union all select 'purchase', id, state from purchase where workshop = $1::integer
), finding as (
    select format('%s %s', thing.kind, thing.id) as subject,
           format('It is %s, but its history ends with %s.', thing.state, coalesce(step.to_state, 'nothing')) as message
    from thing left join step on step.kind = thing.kind and step.subject = thing.id and step.newest
    where thing.state is distinct from step.to_state
    union all
    select format('%s %s', step.kind, step.subject), 'There is history of it, but it is not there itself.'
    from step left join thing on thing.kind = step.kind and thing.id = step.subject
    where step.newest and thing.id is null
    union all
    select format('%s %s', kind, subject), format('It went from "%s" to "%s", which is not an allowed step.', from_state, to_state)
    from step
    where not exists (select from allowed_step where allowed_step.kind = step.kind and allowed_step.from_state = step.from_state
                                                 and allowed_step.to_state = step.to_state)
    union all
    select format('%s %s', kind, subject), format('It was "%s" and then left "%s".', before, from_state)
    from step where before <> from_state
    union all
    select format('%s %s', kind, subject), format('Nobody is named for its step to "%s".', to_state)
    from step where key_name = ''
    union all
    select format('%s %s', kind, subject), format('No reason is given for its step to "%s".', to_state)
    from step where reason = ''
)
select jsonb_build_object('checked', (select count(*) from step),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
