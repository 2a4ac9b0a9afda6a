-- Claims the oldest plan of workshop $1 that is queued, or whose solver's lease has run out, for the daemon $2, for
-- $3 milliseconds. Answers its id and time limit.
with next as materialized (
    select id from plan
    where workshop = $1::integer and state in ('queued', 'solving')
      and (state = 'queued' or leased_until < clock_timestamp())
    order by id limit 1 for update skip locked
)
update plan set state = 'solving', leased_by = $2, leased_until = clock_timestamp() + $3::integer * interval '1 millisecond'
from next where plan.id = next.id
returning plan.id, time_limit_ms
