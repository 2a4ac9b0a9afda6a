-- The parcels of the order that $2 {"order": number or code} names in workshop $1, with what lies in each; none before it is
-- packed. -> {order, code, customer, due, notes?, unit?, state, id, parcels: [{parcel, code, of, state, carrier?, wrap?, mass, outside?,
-- girth?, longest?, contents: [{name, quantity, note}]}]}
select jsonb_strip_nulls(jsonb_build_object(
    'id', job_order.id, 'order', job_order.number, 'code', scan_code('O', job_order.id), 'customer', job_order.customer,
    'due', job_order.due, 'notes', nullif(job_order.notes, ''), 'unit', nullif(job_order.unit, 'mm'), 'state', job_order.state,
    'parcels', (select coalesce(jsonb_agg(jsonb_build_object(
        'parcel', parcel.number, 'of', parcel.of, 'code', scan_code('C', parcel.id), 'state', parcel.state,
        'carrier', nullif(carrier, ''), 'wrap', nullif(wrap_name, ''), 'mass', mass, 'outside', mm(nullif(outside, 0)),
        'girth', mm(nullif(girth, 0)),
        'longest', (select mm(max(piece.length)) from parcel_thing join piece on piece.id = parcel_thing.piece
                    where parcel_thing.parcel = parcel.id),
        'contents', parcel_contents((select coalesce(jsonb_agg(jsonb_build_object('piece', piece, 'kit', kit)), '[]')
                                     from parcel_thing where parcel_thing.parcel = parcel.id))) order by parcel.number), '[]')
        from parcel where parcel.job_order = job_order.id and parcel.state <> 'opened')))
from job_order
where job_order.workshop = $1::integer
  and (job_order.number = $2::jsonb ->> 'order' or job_order.id = scanned('O', upper($2::jsonb ->> 'order')))
order by job_order.number = $2::jsonb ->> 'order' desc
limit 1
