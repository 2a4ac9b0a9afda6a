-- What workshop $1 prints on, for comparing it with the print queues there are.
-- -> {"stocks": [label stock], "stations": [{station, queue}]}
select jsonb_build_object(
    'stocks', (select coalesce(jsonb_agg(data order by position), '[]') from label_stock where workshop = $1::integer),
    'stations', (select coalesce(jsonb_agg(jsonb_build_object('station', code, 'queue', queue) order by code), '[]')
                 from station where workshop = $1::integer and queue is not null))
