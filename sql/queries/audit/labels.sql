-- Invariant 5: in workshop $1 each label was asked for in one print job and once, or is a reprint that says so with its
-- count; what is not printed is queued, on its way, or held and says why.
-- -> {"checked": labels, "findings": [{subject, message}]}
with job as (
    select print_job.*, (select count(*) from label where label.print_job = print_job.id) as listed
    from print_job where print_job.workshop = $1::integer
), numbered as (
    select label.*, row_number() over (partition by kind, subject order by copy) - 1 as expected
    from label where label.workshop = $1::integer
), finding as (
    select format('print job %s', id) as subject, format('It prints %s labels, but %s are listed.', jsonb_array_length(payload), listed) as message
    from job where listed <> jsonb_array_length(payload)
    union all
    select format('print job %s', job.id), format('It is the reprint of %s labels, but marks %s.', count(*) filter (where label.copy > 0),
               (select count(*) from jsonb_array_elements(job.payload) item where (item ->> 'reprint')::integer > 0))
    from job join label on label.print_job = job.id
    group by job.id, job.payload
    having count(*) filter (where label.copy > 0)
           <> (select count(*) from jsonb_array_elements(job.payload) item where (item ->> 'reprint')::integer > 0)
    union all
    select format('%s %s', kind, subject), format('Copy %s of its label is missing.', expected)
    from numbered where copy <> expected
    union all
    select format('print job %s', id), 'It is held and does not say why.' from job where state = 'held' and message = ''
    union all
    select format('print job %s', id), 'It is printed, but nobody knows when.' from job where state = 'printed' and printed_at is null
    union all
    select format('print job %s', id), format('It is %s, but says it was printed.', state)
    from job where state <> 'printed' and printed_at is not null
    union all
    select format('print job %s', id), format('It is %s, but nobody has it.', state)
    from job where state in ('sending', 'printing') and leased_by is null
    union all
    select format('print job %s', job.id), 'A label listed in it is of another kind.'
    from job join label on label.print_job = job.id
    where label.kind <> job.kind or label.workshop <> job.workshop
    group by job.id
)
select jsonb_build_object('checked', (select count(*) from numbered),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
