-- The print jobs of workshop $1 that wait, print or are held at station $2, oldest first: [id, ..], at most 1000. Refuses an
-- unknown station.
select coalesce(jsonb_agg(id order by id), '[]')
from (select id from print_job
      where workshop = $1::integer and station = $2 and state in ('queued', 'sending', 'printing', 'held')
      order by id limit 1000) as open
where case when not exists (select from station where workshop = $1::integer and code = $2)
           then refuse('not-found', 'of', format('There is no station %s.', $2)) is not null else true end
