-- Invariant 7: each state of workshop $1 is where its history ends, and every step of that history was allowed, follows
-- the one before, and names a time, a key and a reason. -> {"checked": steps of history, "findings": [{subject, message}]}
with kept as materialized (
    -- one pass over all steps, from the index alone; only the last step of each thing and what is wrong is kept of them
    select step.kind, subject, step.from_state, step.to_state, before, newest, allowed_step.kind is null as forbidden
    from (select kind, subject, from_state, to_state, lag(to_state, 1, '') over same as before, lead(id) over same is null as newest
          from history
          where workshop = $1::integer
          window same as (partition by kind, subject order by id)) as step
    left join allowed_step on (allowed_step.kind, allowed_step.from_state, allowed_step.to_state)
                              = (step.kind, step.from_state, step.to_state)
    where newest or allowed_step.kind is null or before <> step.from_state
), untold as materialized (
    select kind, subject, to_state, key_name = '' as nobody, reason = '' as no_reason
    from history where workshop = $1::integer and (key_name = '' or reason = '')
), thing (kind, id, state) as (
    select 'order', id, state from job_order where workshop = $1::integer
    union all select 'piece', id, state from piece where workshop = $1::integer
    union all select 'kit', id, state from kit where workshop = $1::integer
    union all select 'plan', id, state from plan where workshop = $1::integer
    union all select 'plan-bar', id, state from plan_bar where workshop = $1::integer
    union all select 'bar', id, state from bar where workshop = $1::integer
    union all select 'print', id, state from print_job where workshop = $1::integer
    union all select 'purchase', id, state from purchase where workshop = $1::integer
    union all select 'stock-take', id, state from stock_take where workshop = $1::integer
    union all select 'parcel', id, state from parcel where workshop = $1::integer
), newest as (
    select kind, subject, to_state from kept where newest
), finding as (
    select format('%s %s', coalesce(thing.kind, newest.kind), coalesce(thing.id, newest.subject)) as subject,
           case when thing.id is null then 'There is history of it, but it is not there itself.'
                else format('It is %s, but its history ends with %s.', thing.state, coalesce(newest.to_state, 'nothing')) end as message
    from thing full join newest on newest.kind = thing.kind and newest.subject = thing.id
    where thing.state is distinct from newest.to_state
    union all
    select format('%s %s', kind, subject), format('It went from "%s" to "%s", which is not an allowed step.', from_state, to_state)
    from kept where forbidden
    union all
    select format('%s %s', kind, subject), format('It was "%s" and then left "%s".', before, from_state)
    from kept where before <> from_state
    union all
    select format('%s %s', kind, subject), format('Nobody is named for its step to "%s".', to_state)
    from untold where nobody
    union all
    select format('%s %s', kind, subject), format('No reason is given for its step to "%s".', to_state)
    from untold where no_reason
)
select jsonb_build_object('checked', (select count(*) from history where workshop = $1::integer),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
