-- What kit $3 of workshop $1 has reserved under the part that $2 {"part"} names, as the part of a line or instead of it.
-- -> [{"bin": id, "batch", "kit_line": id, "units"}, ..]
select coalesce(jsonb_agg(jsonb_build_object('bin', stock.bin, 'batch', stock.batch, 'kit_line', kit_line.id,
                                             'units', reservation.quantity)), '[]')
from kit_line
join reservation on reservation.kit_line = kit_line.id
join stock on stock.id = reservation.stock
where kit_line.kit = $3::bigint and stock.part = need_part($1::integer, $2::jsonb ->> 'part', 'part')
