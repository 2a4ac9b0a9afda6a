-- What kit $1 has reserved of the parts $2 [id, ..]. -> [{"bin": id, "units"}, ..]
select coalesce(jsonb_agg(jsonb_build_object('bin', stock.bin, 'units', reservation.quantity)), '[]')
from kit_line
join reservation on reservation.kit_line = kit_line.id
join stock on stock.id = reservation.stock
where kit_line.kit = $1::bigint and kit_line.part in (select value::bigint from jsonb_array_elements_text($2::jsonb))
