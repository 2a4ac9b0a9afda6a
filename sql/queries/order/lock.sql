-- The order of workshop $1 with the number or scan code $2: its id, state and number; locked until the transaction ends.
select id, state, number from job_order
where (workshop = $1::integer and number = $2)
   or (workshop = $1::integer and id = scanned('O', $2))
order by number = $2 desc limit 1
for update
