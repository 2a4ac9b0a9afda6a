-- Steps order $1 to the state $2.
update job_order set state = $2 where id = $1::bigint and state <> $2 returning id
