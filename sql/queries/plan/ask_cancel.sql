-- Asks whoever solves plan $1 to stop; one that only waits is dropped at once.
update plan set cancel_asked = true, state = case state when 'queued' then 'dropped' else state end
where id = $1::bigint and state in ('queued', 'solving')
returning state
