-- Locks the print job $2 of workshop $1. -> {job, state, labels, done, unsure}
select jsonb_build_object('job', id, 'state', state, 'labels', jsonb_array_length(payload), 'done', done, 'unsure', unsure,
                          'station', station, 'kind', kind)
from print_job
where workshop = $1::integer and id = $2::bigint
for no key update
