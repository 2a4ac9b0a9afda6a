-- What the print worker $2 of workshop $1 does next: at each station the oldest job that is not held, if it is due and no
-- other worker has it. A queued one becomes "sending" and gets the number of this attempt; one that is "sending" or
-- "printing" already goes on: "resumed" says that somebody began to send it and did not say how that ended.
-- -> [{job, kind, payload, state, attempt, cups_job, resumed, station, queue, folder, stock}]
with head as (
    select distinct on (station) id
    from print_job
    where workshop = $1::integer and state in ('queued', 'sending', 'printing')
    order by station, id
), due as (
    select print_job.id, print_job.state
    from print_job
    where print_job.id in (select id from head)
      and print_job.not_before <= now()
      and (print_job.leased_until is null or print_job.leased_until < now() or print_job.leased_by = $2)
    order by print_job.id
    for no key update skip locked
), claimed as (
    update print_job
    set state = case due.state when 'queued' then 'sending' else due.state end,
        attempt = attempt + case due.state when 'queued' then 1 else 0 end,
        cups_job = case due.state when 'queued' then null else cups_job end,
        leased_by = $2, leased_until = now() + interval '60 seconds'
    from due
    where print_job.id = due.id
    returning print_job.*, due.state = 'sending' as resumed
)
select coalesce(jsonb_agg(jsonb_build_object(
    'job', claimed.id, 'kind', claimed.kind, 'payload', claimed.payload, 'state', claimed.state, 'attempt', claimed.attempt,
    'cups_job', claimed.cups_job, 'resumed', claimed.resumed, 'station', station.code, 'queue', station.queue,
    'folder', station.folder, 'stock', label_stock.data) order by claimed.id), '[]')
from claimed
join station on station.workshop = claimed.workshop and station.code = claimed.station
join label_stock on label_stock.workshop = station.workshop and label_stock.code = station.stock
