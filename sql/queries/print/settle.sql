-- What came of attempt $3 of print job $2 of workshop $1 that worker $4 has: the state $5, the CUPS job $6, $7 in plain
-- words, and to look at it again after $8 milliseconds; $9 {done?: labels that came out beyond those known, unsure?: others may
-- have come out as well, page_ends?, free_place?: the first place of the sheet that is free then, again?: the job that prints
-- the rest as reprints}. Nothing when somebody else has it by now. -> whether it was noted
with settled as (
    update print_job
    set state = $5, cups_job = $6::integer, message = $7, not_before = now() + $8::integer * interval '1 millisecond',
        printed_at = case $5 when 'printed' then now() end,
        leased_by = case when $5 in ('sending', 'printing') then leased_by end,
        leased_until = case when $5 in ('sending', 'printing') then now() + interval '20 seconds' end,
        done = done + coalesce(($9::jsonb ->> 'done')::integer, 0),
        unsure = coalesce(($9::jsonb ->> 'unsure')::boolean, false),
        page_ends = coalesce($9::jsonb -> 'page_ends', page_ends),
        station = case when $5 = 'queued' and wish = 'move' then wish_station else station end,
        wish = case when $5 in ('sending', 'printing') then wish else '' end,
        wish_station = case when $5 in ('sending', 'printing') then wish_station end
    where workshop = $1::integer and id = $2::bigint and attempt = $3::integer and leased_by = $4
      and state in ('sending', 'printing')
    returning id, station, kind, state, message, done
), placed as (
    update station
    set free_place = ($9::jsonb ->> 'free_place')::integer,
        first_place = case when part_sheets then ($9::jsonb ->> 'free_place')::integer else 1 end
    from settled
    where station.workshop = $1::integer and station.code = settled.station and $9::jsonb ? 'free_place'
    returning station.code
)
select to_jsonb(count(announce($1::integer, 'print.state', jsonb_build_object('job', id, 'station', station, 'kind', kind,
                                                                            'state', state, 'message', message, 'done', done))) > 0)
from settled left join placed on true
