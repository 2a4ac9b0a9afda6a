-- A person's word on print job $1, locked before: it becomes $2 ('queued', 'cancelled' or 'printed') with the message $3, and
-- $4 of its labels are known to have come out (null: as many as before). What the printer has is asked back from it, when it
-- is to be cancelled. Refuses what its state does not allow and says what to do. -> {job, state, message}
with checked as materialized (
    select id, state from print_job
    where id = $1::bigint and case
        when state in ('sending', 'printing') and $2 <> 'cancelled' then refuse('is-printing', 'job',
            'The printer has it now; wait until it is printed or held, or cancel or move it.') is not null
        when state = 'queued' and $2 = 'printed' then refuse('not-sent', 'job',
            'This was never sent to a printer; it prints by itself, or cancel it.') is not null
        when state in ('printed', 'cancelled') then refuse('is-' || state, 'job',
            format('This is %s already; print a label again with `ellwand label reprint CODE`.', state)) is not null
        else true end
), changed as (
    update print_job
    set state = case when checked.state in ('sending', 'printing') then checked.state else $2 end,
        wish = case when checked.state in ('sending', 'printing') then 'cancel' else '' end,
        wish_station = null,
        message = $3, not_before = now(), done = coalesce($4::integer, done),
        unsure = unsure and $4::integer is null and $2 <> 'queued',
        leased_by = case when checked.state in ('sending', 'printing') then leased_by end,
        leased_until = case when checked.state in ('sending', 'printing') then leased_until end,
        printed_at = case when $2 = 'printed' then now() end
    from checked where print_job.id = checked.id
    returning print_job.id, print_job.workshop, station, kind, print_job.state, message
)
select jsonb_build_object('job', id, 'state', state, 'message', message) from changed
