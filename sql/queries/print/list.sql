-- Print jobs of workshop $1, newest first. $2 {"state"?: else all that are not done, "station"?, "after"?: job, "limit"?}
-- -> {"jobs": [{job, station, kind, labels, codes: the first five, state, attempt, message, queued_at, printed_at?}], "next"}
with asked as materialized (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most,
           coalesce(($2::jsonb ->> 'after')::bigint, 9223372036854775807) as after,
           $2::jsonb ->> 'state' as state, $2::jsonb ->> 'station' as station,
           case when $2::jsonb ->> 'state' in ('printed', 'cancelled') then $2::jsonb ->> 'state' else 'open' end as scope
), page as (
    select found.*, row_number() over (order by found.id desc) as place
    from asked
    cross join lateral (
        (select print_job.* from print_job
         where asked.scope = 'open' and print_job.workshop = $1::integer
           and print_job.state in ('queued', 'sending', 'printing', 'held')
           and (asked.state is null or print_job.state = asked.state)
           and (asked.station is null or print_job.station = asked.station) and print_job.id < asked.after
         order by print_job.id desc
         limit asked.most + 1)
        union all
        (select print_job.* from print_job
         where asked.scope = 'cancelled' and print_job.workshop = $1::integer and print_job.state = 'cancelled'
           and (asked.station is null or print_job.station = asked.station) and print_job.id < asked.after
         order by print_job.id desc
         limit asked.most + 1)
        union all
        (select print_job.* from print_job
         where asked.scope = 'printed' and print_job.workshop = $1::integer and print_job.state = 'printed'
           and (asked.station is null or print_job.station = asked.station) and print_job.id < asked.after
         order by print_job.id desc
         limit asked.most + 1)
    ) as found
)
select jsonb_build_object(
    'jobs', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'job', id, 'station', station, 'kind', kind, 'labels', jsonb_array_length(payload),
        'codes', jsonb_path_query_array(payload, '$[0 to 4].code'), 'state', state, 'attempt', attempt, 'message', message,
        'queued_at', queued_at, 'printed_at', printed_at)) order by place)
        filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked) then min(id) filter (where place <= (select most from asked)) end)
from page
