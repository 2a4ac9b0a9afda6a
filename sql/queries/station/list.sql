-- The stations of workshop $1 and how they stand. $2 is not looked at.
-- -> {"stations": [{station, queue?, folder?, stock, kinds, kinds_text, message, seen_at?, queued, printing, held}]}
select jsonb_build_object('stations', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
    'station', code, 'queue', queue, 'folder', folder, 'stock', stock, 'kinds', kinds, 'kinds_text', array_to_string(kinds, ', '), 'message', message,
    'seen_at', seen_at, 'queued', count.queued, 'printing', count.printing, 'held', count.held)) order by code), '[]'))
from station
cross join lateral (
    select count(*) filter (where state = 'queued') as queued, count(*) filter (where state in ('sending', 'printing')) as printing,
           count(*) filter (where state = 'held') as held
    from print_job
    where print_job.workshop = station.workshop and print_job.station = station.code
      and state in ('queued', 'sending', 'printing', 'held')
) as count
where workshop = $1::integer and $2::jsonb is not null
