-- The kits of the cancelled order $1 are no longer wanted.
update kit set state = 'cancelled'
where state <> 'cancelled' and job_window in (select id from job_window where job_order = $1::bigint)
returning id
