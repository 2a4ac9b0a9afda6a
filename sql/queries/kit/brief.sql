-- How kit $1 stands. -> {kit, order, window, state, order_state, left: [{part, name, unit, quantity, bins, instead?}], pieces_left}
select jsonb_build_object(
    'kit', scan_code('K', kit.id), 'order', job_order.number, 'window', job_window.name, 'state', kit.state,
    'order_state', job_order.state,
    'left', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
                 'part', part.code, 'name', part.name, 'unit', part.unit,
                 'quantity', shown(part.unit, kit_line.wanted - kit_line.picked),
                 'bins', (select coalesce(jsonb_agg(bin.code order by bin.walk, bin.id), '[]')
                          from reservation
                          join stock on stock.id = reservation.stock
                          join bin on bin.id = stock.bin
                          where reservation.kit_line = kit_line.id),
                 'instead', (select jsonb_agg(distinct other.code)
                             from reservation
                             join stock on stock.id = reservation.stock and stock.part <> kit_line.part
                             join part other on other.id = stock.part
                             where reservation.kit_line = kit_line.id))) order by kit_line.position), '[]')
             from kit_line join part on part.id = kit_line.part
             where kit_line.kit = kit.id and kit_line.picked < kit_line.wanted),
    'pieces_left', (select count(*) from piece where piece.job_window = kit.job_window
                                                and piece.state not in ('matched', 'dispatched', 'cancelled')))
from kit
join job_window on job_window.id = kit.job_window
join job_order on job_order.id = job_window.job_order
where kit.id = $1::bigint
