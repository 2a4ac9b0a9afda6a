-- The labels of the closed parcels of order $1: [{"subject": parcel, "payload": {..}}, ..]
select coalesce(jsonb_agg(jsonb_build_object('subject', parcel.id, 'payload', jsonb_strip_nulls(jsonb_build_object(
    'code', scan_code('C', parcel.id), 'order', job_order.number, 'customer', nullif(job_order.customer, ''),
    'unit', nullif(job_order.unit, 'mm'), 'parcel', parcel.number, 'of', parcel.of, 'longest', (
        select mm(max(piece.length)) from parcel_thing join piece on piece.id = parcel_thing.piece where parcel_thing.parcel = parcel.id),
    'contents', (select jsonb_agg(line order by position, rank)
                 from (select job_window.position, 1 as rank, format('%s: %s of track, %s in %s', job_window.name, count(*),
                              job_window.system, job_window.finish) as line
                       from parcel_thing join piece on piece.id = parcel_thing.piece join job_window on job_window.id = piece.job_window
                       where parcel_thing.parcel = parcel.id group by job_window.id
                       union all
                       select job_window.position, 2, format('%s: kit %s', job_window.name, scan_code('K', kit.id))
                       from parcel_thing join kit on kit.id = parcel_thing.kit join job_window on job_window.id = kit.job_window
                       where parcel_thing.parcel = parcel.id
                       order by 1, 2 limit 8) as listed)))) order by parcel.number), '[]')
from parcel join job_order on job_order.id = parcel.job_order
where parcel.job_order = $1::bigint and parcel.state = 'packed'
