-- Asks for labels: print jobs of at most 100 labels each, at the station that prints this kind and has least to do.
-- Each label is numbered: copy 0 is the first print, any later one is a reprint and its payload says which.
-- $1 workshop, $2 kind ("piece", "kit", ..), $3 [{"subject": id, "payload": {..}}, ..]
-- -> {"station": code or null, "labels": number, "jobs": [id, ..]}; refuses with "no-station" when none prints this kind
with chosen as (
    select station.code
    from station
    left join print_job on print_job.workshop = station.workshop and print_job.station = station.code
                       and print_job.state in ('queued', 'sending', 'printing', 'held')
    where station.workshop = $1 and $2 = any(station.kinds)
    group by station.code
    order by count(print_job.id), station.code
    limit 1
), asked as (
    select (place - 1) / 100 + 1 as batch, place, (item ->> 'subject')::bigint as subject, item -> 'payload' as payload,
           row_number() over (partition by (item ->> 'subject')::bigint order by place) - 1
               + coalesce((select max(copy) + 1 from label
                           where workshop = $1 and kind = $2 and subject = (item ->> 'subject')::bigint), 0) as copy
    from jsonb_array_elements($3::jsonb) with ordinality as given (item, place)
), queued as (
    insert into print_job (workshop, station, kind, payload, state)
    select $1, chosen.code, $2,
           jsonb_agg(case when copy > 0 then payload || jsonb_build_object('reprint', copy) else payload end order by place),
           'queued'
    from chosen, asked
    group by chosen.code, batch
    order by batch
    returning id
), numbered as (
    select id, row_number() over (order by id) as batch from queued
), listed as (
    insert into label (workshop, kind, subject, copy, print_job)
    select $1, $2, asked.subject, asked.copy, numbered.id
    from asked join numbered on numbered.batch = asked.batch
    returning id
)
select case
    when not exists (select from asked) then jsonb_build_object('station', null, 'labels', 0, 'jobs', '[]'::jsonb)
    when not exists (select from chosen) then to_jsonb(refuse('no-station', $2,
        format('No station prints %s labels. Set one up with: ellwand station set NAME --kinds %s', $2, $2))::text)
    else jsonb_build_object('station', (select code from chosen), 'labels', (select count(*) from listed),
                            'jobs', (select jsonb_agg(id order by id) from queued))
    end
