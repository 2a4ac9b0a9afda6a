-- The solver $2 gives plan $1 back unsolved: it is queued again for whoever comes next.
update plan set state = 'queued', leased_by = null, leased_until = null
where id = $1::bigint and state = 'solving' and leased_by = $2
returning id
