-- What came of attempt $3 of print job $2 of workshop $1 that worker $4 has: the state $5, the CUPS job $6, $7 in plain
-- words, and to look at it again after $8 milliseconds. Nothing when somebody else has it by now. -> whether it was noted
with settled as (
    update print_job
    set state = $5, cups_job = $6::integer, message = $7, not_before = now() + $8::integer * interval '1 millisecond',
        printed_at = case $5 when 'printed' then now() end,
        leased_by = case when $5 in ('sending', 'printing') then leased_by end,
        leased_until = case when $5 in ('sending', 'printing') then now() + interval '20 seconds' end
    where workshop = $1::integer and id = $2::bigint and attempt = $3::integer and leased_by = $4
      and state in ('sending', 'printing')
    returning id, station, kind, state, message
)
select to_jsonb(count(announce($1::integer, 'print.state', jsonb_build_object('job', id, 'station', station, 'kind', kind,
                                                                            'state', state, 'message', message))) > 0)
from settled
