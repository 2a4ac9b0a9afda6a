-- The cut piece $1 is to be cut again.
update piece set state = 'waiting', plan_bar = null, sequence = null, batch = null where id = $1::bigint and state = 'cut'
returning id
