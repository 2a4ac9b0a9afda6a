-- Keeps two migrations from running at once; waits its turn. $1: number of the lock. Held until the connection ends.
select pg_advisory_lock($1::bigint);
