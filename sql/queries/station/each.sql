-- The stations of workshop $1 for the print worker. -> [{station, queue, folder, message}]
select coalesce(jsonb_agg(jsonb_build_object('station', code, 'queue', queue, 'folder', folder, 'message', message) order by code), '[]')
from station where workshop = $1::integer
