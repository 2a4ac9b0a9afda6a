-- The solver $2 ends plan $1 without a result: $3 says why, $4 is the state it comes to (failed, or dropped when asked).
update plan set state = $4, failure = $3, leased_by = null, leased_until = null
where id = $1::bigint and state = 'solving' and leased_by = $2
returning id
