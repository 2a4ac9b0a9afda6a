-- What print job $1 has still to print, to ask for it once more: {kind, items: [{"subject", "payload"}, ..]}.
select jsonb_build_object('kind', print_job.kind, 'items', (
    select jsonb_agg(jsonb_build_object('subject', subject, 'payload', item - 'reprint') order by place)
    from jsonb_array_elements(print_job.payload) with ordinality as listed (item, place)
    cross join lateral (select coalesce((code_parts(item ->> 'code')).id,
                                        (select min(label.subject) from label where label.print_job = print_job.id)) as subject) as named
    where place > print_job.done))
from print_job
where print_job.id = $1::bigint
