-- Notes how the station $2 of workshop $1 answered just now: $3 in plain words, "" when all is well. Tells when that is news.
with seen as (
    update station set message = $3, seen_at = now()
    from (select code, message as before from station where workshop = $1::integer and code = $2) as old
    where station.workshop = $1::integer and station.code = old.code
    returning station.code, message, before
)
select count(announce($1::integer, 'station.state', jsonb_build_object('station', code, 'message', message)))
from seen where message <> before
