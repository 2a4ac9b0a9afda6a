-- What the print worker $2 does next at station $3 of workshop $1: a job that is on its way, or the oldest that waits, if
-- it is due and no other worker has it. At most eight are on their way at once, and none is sent while it is not known
-- whether the one before it was. A queued one becomes "sending" and gets the number of this attempt; "resumed" says that
-- somebody began to send it and did not say how that ended.
-- -> {job, kind, payload, state, attempt, cups_job, resumed, folder: bool, target, stock}; no row when there is nothing
with station_job as (
    select id, state, not_before, leased_by, leased_until
    from print_job
    where workshop = $1::integer and station = $3 and state in ('queued', 'sending', 'printing')
), due as (
    select print_job.id, print_job.state
    from print_job
    where id = (select id from station_job
                where not_before <= now() and (leased_until is null or leased_until < now() or leased_by = $2)
                  and case when state = 'queued'
                      then id = (select min(id) from station_job where state = 'queued')
                           and not exists (select from station_job where state = 'sending')
                           and (select count(*) < 8 from station_job where state = 'printing')
                      else true end
                order by not_before, id
                limit 1)
    for no key update skip locked
), claimed as (
    update print_job
    set state = case due.state when 'queued' then 'sending' else due.state end,
        attempt = attempt + case due.state when 'queued' then 1 else 0 end,
        cups_job = case due.state when 'queued' then null else cups_job end,
        sent_to = case due.state when 'queued' then coalesce(station.queue, station.folder) else sent_to end,
        leased_by = $2, leased_until = now() + interval '20 seconds'
    from due, station
    where print_job.id = due.id and station.workshop = $1::integer and station.code = $3
    returning print_job.*, due.state = 'sending' as resumed, station.stock
)
select jsonb_build_object(
    'job', claimed.id, 'kind', claimed.kind, 'payload', claimed.payload, 'state', claimed.state, 'attempt', claimed.attempt,
    'cups_job', coalesce(claimed.cups_job, 0), 'resumed', claimed.resumed, 'folder', claimed.sent_to like '/%',
    'target', claimed.sent_to, 'stock', label_stock.data)
from claimed
join label_stock on label_stock.workshop = claimed.workshop and label_stock.code = claimed.stock
