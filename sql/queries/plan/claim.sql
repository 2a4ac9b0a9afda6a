-- Claims the oldest plan of workshop $1 that is queued, or whose solver's lease has run out, for the daemon $2, for
-- $3 milliseconds. Answers its id and time limit.
update plan set state = 'solving', leased_by = $2, leased_until = clock_timestamp() + $3::integer * interval '1 millisecond'
where id = (select id from plan
            where workshop = $1::integer
              and (state = 'queued' or (state = 'solving' and leased_until < clock_timestamp()))
            order by id limit 1 for update skip locked)
returning id, time_limit_ms
