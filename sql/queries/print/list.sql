-- Print jobs of workshop $1, newest first. $2 {"state"?: else all that are not done, "station"?, "after"?: job, "limit"?}
-- -> {"jobs": [{job, station, kind, labels, done, codes: the first five, state, attempt, message, unsure?, wish?, queued_at,
-- printed_at?}], "next"}; what holds a station up is the message of what waits there
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
        'job', page.id, 'station', page.station, 'kind', page.kind, 'labels', jsonb_array_length(page.payload),
        'done', case page.state when 'printed' then jsonb_array_length(page.payload) else page.done end,
        'codes', jsonb_path_query_array(page.payload, '$[0 to 4].code'), 'state', page.state, 'attempt', page.attempt,
        'message', case when page.state = 'queued' and page.message = '' then station.message else page.message end,
        'unsure', case when page.state = 'held' then page.unsure end, 'wish', nullif(page.wish, ''),
        'queued_at', page.queued_at, 'printed_at', page.printed_at)) order by place)
        filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked) then min(page.id) filter (where place <= (select most from asked)) end)
from page join station on station.workshop = page.workshop and station.code = page.station
