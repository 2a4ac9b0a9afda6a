-- Renews the lease of the daemon $2 on plan $1 for $3 milliseconds. Answers whether its solver should stop; no row: the
-- lease is lost.
update plan set leased_until = clock_timestamp() + $3::integer * interval '1 millisecond'
where id = $1::bigint and state = 'solving' and leased_by = $2
returning cancel_asked
