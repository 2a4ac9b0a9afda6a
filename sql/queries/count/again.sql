-- Opens the counted stock-take $1 for another round, which counts what $2 says: 'all' or 'different'.
with forgotten as (
    delete from stock_take_missing where stock_take = $1::bigint
)
update stock_take set state = 'open', round = round + 1, asks = $2, counted_at = null where id = $1::bigint
