-- Asks for labels: print jobs of as many labels as the station takes in one, at station $4 or, where that is null, at the one
-- that prints this kind and has least to do. Each label is numbered: copy 0 is the first print, any later one is a reprint,
-- its payload says which, and its code is a new one.
-- $1 workshop, $2 kind ("piece", "kit", ..), $3 [{"subject": id, "payload": {..}}, ..]
-- -> {"station": code or null, "labels": number, "jobs": [id, ..]}; refuses with "no-station" when none prints this kind
with chosen as (
    select station.code, station.job_labels
    from station
    left join print_job on print_job.workshop = station.workshop and print_job.station = station.code
                       and print_job.state in ('queued', 'sending', 'printing', 'held')
    where station.workshop = $1 and case when $4::text is null then $2 = any(station.kinds) else station.code = $4 end
    group by station.workshop, station.code
    order by count(print_job.id), station.code
    limit 1
), asked as (
    select (place - 1) / job_labels + 1 as batch, place, (item ->> 'subject')::bigint as subject, item -> 'payload' as payload,
           row_number() over (partition by (item ->> 'subject')::bigint order by place) - 1
               + coalesce((select max(copy) + 1 from label
                           where workshop = $1 and kind = $2 and subject = (item ->> 'subject')::bigint), 0) as copy
    from jsonb_array_elements($3::jsonb) with ordinality as given (item, place), chosen
), written as (
    select batch, place,
           payload
           || case when copy > 0 then jsonb_build_object('reprint', copy) else '{}' end
           || case when copy > 0 and payload ? 'code'
                   then jsonb_build_object('code', spelled_code(left(payload ->> 'code', 1), subject, copy::integer)) else '{}' end
               as payload
    from asked
), queued as (
    insert into print_job (workshop, station, kind, payload, state)
    select $1, chosen.code, $2, jsonb_agg(payload order by place), 'queued'
    from chosen, written
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
    when jsonb_array_length($3::jsonb) = 0 then jsonb_build_object('station', null, 'labels', 0, 'jobs', '[]'::jsonb)
    when not exists (select from chosen) then to_jsonb(refuse('no-station', $2,
        format('No station prints %s labels. Set one up with: ellwand station set NAME --kinds %s', $2, $2))::text)
    else jsonb_build_object('station', (select code from chosen), 'labels', (select count(*) from listed),
                            'jobs', (select jsonb_agg(id order by id) from queued))
    end
