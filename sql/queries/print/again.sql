-- The label of kind $2 for subject $3 of workshop $1 as it was last asked for, to ask for it once more. Refuses while that
-- one is still on its way. -> [{"subject", "payload"}], or null when there was none
with newest as materialized (
    select label.copy, print_job.id, print_job.state, print_job.message, print_job.payload
    from label join print_job on print_job.id = label.print_job
    where label.workshop = $1::integer and label.kind = $2 and label.subject = $3::bigint
    order by label.copy desc
    limit 1
)
select jsonb_build_array(jsonb_build_object('subject', $3::bigint, 'payload',
           (select item - 'reprint' from jsonb_array_elements(payload) as item
            where (code_parts(item ->> 'code')).id = $3::bigint limit 1)))
from newest
where case when state in ('queued', 'sending', 'printing', 'held')
    then refuse('not-printed-yet', 'code', format('Its label is still %s in print job %s%s; see to that with `ellwand print list`.',
                                                  state, id, coalesce(': ' || nullif(message, ''), ''))) is not null
    else true end
