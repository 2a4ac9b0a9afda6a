-- Locks the print job $2 {"job"} of workshop $1. -> its id
select to_jsonb(id) from print_job
where workshop = $1::integer and id = ($2::jsonb ->> 'job')::bigint
for no key update
