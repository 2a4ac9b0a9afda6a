-- The matched piece $1 leaves its kit.
update piece set state = 'cut' where id = $1::bigint and state = 'matched' returning id
