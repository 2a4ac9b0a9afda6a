-- The print worker $2 of workshop $1 ends: what it has on its way is free for the next at once.
update print_job set leased_until = now()
where workshop = $1::integer and leased_by = $2 and state in ('sending', 'printing')
