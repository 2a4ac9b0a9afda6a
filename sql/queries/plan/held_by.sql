-- Whether plan $1 is still being solved by the daemon $2 and nobody asked to stop; locked until the transaction ends.
select id from plan where id = $1::bigint and state = 'solving' and leased_by = $2 and not cancel_asked for update
