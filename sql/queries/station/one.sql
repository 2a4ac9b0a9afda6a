-- Station $2 of workshop $1 for its print worker: "stale" when its printer's state was not noted for ten seconds, "waits" and
-- "moves" when it has jobs that wait to be sent, and that are on their way.
-- -> {station, queue, folder, message, stale, waits, moves, stock}; no row when it is not there any more
select jsonb_build_object('station', station.code, 'queue', queue, 'folder', folder, 'message', message,
    'stale', seen_at is null or seen_at < now() - interval '10 seconds', 'stock', label_stock.data,
    'waits', exists (select from print_job where print_job.workshop = station.workshop and print_job.station = station.code
                                             and state = 'queued'),
    'moves', exists (select from print_job where print_job.workshop = station.workshop and print_job.station = station.code
                                             and state in ('sending', 'printing')))
from station join label_stock on label_stock.workshop = station.workshop and label_stock.code = station.stock
where station.workshop = $1::integer and station.code = $2
