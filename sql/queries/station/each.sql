-- The stations of workshop $1 for the print worker: "stale" when their printer was not asked for ten seconds.
-- -> [{station, queue, folder, message, stale}]
select coalesce(jsonb_agg(jsonb_build_object('station', code, 'queue', queue, 'folder', folder, 'message', message,
    'stale', seen_at is null or seen_at < now() - interval '10 seconds') order by code), '[]')
from station
where workshop = $1::integer
