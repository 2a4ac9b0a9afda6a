-- The parts that the books have in the bin of stock-take $1, and those that were counted there. -> [part id, ..]
select coalesce(jsonb_agg(part order by part), '[]')
from (select stock.part from stock_take join stock on stock.bin = stock_take.bin
      where stock_take.id = $1::bigint and stock.on_hand > 0
      union
      select part from stock_count where stock_take = $1::bigint) as named
