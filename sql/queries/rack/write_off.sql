-- The bar or offcut $1 leaves the rack for good.
update bar set state = 'written-off' where id = $1::bigint returning id
