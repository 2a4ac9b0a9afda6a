-- The order of workshop $1 with the number or scan code $2: its id, state and number; locked until the transaction ends.
select id, state, number from job_order
where (workshop = $1::integer and number = $2)
   or (workshop = $1::integer and scan_code('O', id) = upper($2)
       and id = case when $2 ~ '^[Oo][1-9][0-9]{0,17}[0-9A-Za-z*]$' then substr($2, 2, length($2) - 2)::bigint end)
order by number = $2 desc limit 1
for update
