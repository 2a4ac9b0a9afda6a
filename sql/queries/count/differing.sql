-- The parts of workshop $1 of which the stock-takes $2 (an array of ids) found more or less than the books had. -> [part id, ..]
select coalesce(jsonb_agg(distinct line.part), '[]')
from stock_take_line line join stock_take take on take.id = line.stock_take
where take.workshop = $1::integer and line.difference <> 0
  and take.id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
