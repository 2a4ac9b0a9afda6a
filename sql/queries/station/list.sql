-- The stations of workshop $1 and how they stand. $2 is not looked at.
-- -> {"stations": [{station, queue?, folder?, stock, kinds, kinds_text, job_labels, part_sheets?, place?, places?, free_place?,
-- message, seen_at?, queued, printing, held}]}; the places are those of a sheet of labels
select jsonb_build_object('stations', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
    'station', station.code, 'queue', queue, 'folder', folder, 'stock', stock, 'kinds', kinds,
    'kinds_text', array_to_string(kinds, ', '), 'job_labels', job_labels,
    'part_sheets', case when places > 1 then part_sheets end, 'place', case when places > 1 then first_place end,
    'places', case when places > 1 then places end, 'free_place', case when places > 1 then free_place end,
    'message', message, 'seen_at', seen_at, 'queued', count.queued, 'printing', count.printing, 'held', count.held))
    order by station.code), '[]'))
from station
join label_stock on label_stock.workshop = station.workshop and label_stock.code = station.stock
cross join lateral (select (data #>> '{sheet,columns}')::integer * (data #>> '{sheet,rows}')::integer as places) as sheet
cross join lateral (
    select count(*) filter (where state = 'queued') as queued, count(*) filter (where state in ('sending', 'printing')) as printing,
           count(*) filter (where state = 'held') as held
    from print_job
    where print_job.workshop = station.workshop and print_job.station = station.code
      and state in ('queued', 'sending', 'printing', 'held')
) as count
where station.workshop = $1::integer and $2::jsonb is not null
