-- The stock-take $1 becomes $2.
update stock_take set state = $2 where id = $1::bigint
