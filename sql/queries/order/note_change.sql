-- Notes that order $2 of workshop $1 was changed as $3 tells.
insert into order_change (workshop, job_order, what) values ($1::integer, $2::bigint, $3::jsonb) returning id
