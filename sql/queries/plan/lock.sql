-- The state of plan $2 of workshop $1, locked until the transaction ends.
select state, cancel_asked from plan where workshop = $1::integer and id = $2::bigint for update
