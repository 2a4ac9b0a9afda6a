-- The parcel label of the packed order of kit $1: [{"subject": order, "payload": {..}}].
select jsonb_build_array(jsonb_build_object('subject', job_order.id, 'payload', jsonb_build_object(
    'code', scan_code('O', job_order.id), 'order', job_order.number, 'customer', job_order.customer, 'parcel', 1, 'of', 1,
    'longest', (select mm(max(piece.length)) from piece join job_window on job_window.id = piece.job_window
                where job_window.job_order = job_order.id),
    'contents', (select jsonb_agg(format('%s: %s in %s', concat_ws(' ', job_window.name, nullif(room, '')), job_window.system, job_window.finish)
                                  order by job_window.position)
                 from job_window where job_window.job_order = job_order.id))))
from kit
join job_window own on own.id = kit.job_window
join job_order on job_order.id = own.job_order
where kit.id = $1::bigint
