-- Moves print job $1, locked before, to station $2: at once what waits, and by the print worker what the printer has. With $3 it
-- only checks that it may be moved. -> {job, state, station, message}
with checked as materialized (
    select id, workshop, state from print_job
    where id = $1::bigint and case
        when not exists (select from station where station.workshop = print_job.workshop and code = $2)
            then refuse('not-found', 'to', format('There is no station %s; `ellwand printers` lists them.', $2)) is not null
        when state in ('printed', 'cancelled') then refuse('is-' || state, 'job',
            format('This is %s already; print a label again with `ellwand label reprint CODE`.', state)) is not null
        else true end
), changed as (
    update print_job
    set station = case when checked.state in ('queued', 'held') then $2 else station end,
        state = case checked.state when 'held' then 'queued' else checked.state end,
        wish = case when checked.state in ('queued', 'held') then '' else 'move' end,
        wish_station = case when checked.state in ('queued', 'held') then null else $2 end,
        message = case when checked.state in ('queued', 'held') then format('moved here from %s', station)
                       else format('is taken from the printer, to go to %s', $2) end,
        not_before = now()
    from checked
    where print_job.id = checked.id and not $3::boolean
    returning print_job.id, print_job.state, print_job.station, print_job.message
)
select coalesce((select jsonb_build_object('job', id, 'state', state, 'station', station, 'message', message) from changed),
                (select jsonb_build_object('job', id, 'state', state) from checked))
