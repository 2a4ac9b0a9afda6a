-- Moves the windows of order $1 that $3 (an array of names) tells to order $2.
update job_window set job_order = $2::bigint
where job_order = $1::bigint and name in (select jsonb_array_elements_text($3::jsonb))
returning id
