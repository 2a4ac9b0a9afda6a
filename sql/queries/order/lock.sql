-- The id and state of the order numbered $2 in workshop $1, locked until the transaction ends.
select id, state from job_order where workshop = $1::integer and number = $2 for update
