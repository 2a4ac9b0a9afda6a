-- Steps purchase $1 to the state $2.
update purchase set state = $2 where id = $1::bigint
