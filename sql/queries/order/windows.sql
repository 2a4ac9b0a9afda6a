-- The windows of order $1 with their places in it: {"W1": 1, ..}
select coalesce(jsonb_object_agg(name, position), '{}') from job_window where job_order = $1::bigint
