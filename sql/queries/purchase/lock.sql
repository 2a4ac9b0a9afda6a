-- Purchase $2 of workshop $1, locked until the transaction ends: its state.
select state from purchase where workshop = $1::integer and id = $2::bigint for update
