-- What the print worker $2 does next at station $3 of workshop $1: a job that is on its way, or, where $4 says that the
-- printer is ready, the oldest that waits, if it is due and no other worker has it. At most eight are on their way at once, and none
-- is sent while it is not known whether the one before it was (on sheets of labels it begins where that one ends). A queued one becomes "sending" and gets the number of this attempt; "resumed" says that somebody began to send it
-- and did not say how that ended.
-- -> {job, kind, payload: what it has still to print (only of one that was queued), labels: how many those are, done: how many
-- came before, state, attempt, cups_job, resumed, page_ends, wish, folder: bool, target, stock, first_place}; no row when there is nothing
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
                      then $4::boolean
                           and id = (select min(id) from station_job where state = 'queued')
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
        page_ends = case due.state when 'queued' then null else page_ends end,
        sent_to = case due.state when 'queued' then coalesce(station.queue, station.folder) else sent_to end,
        leased_by = $2, leased_until = now() + interval '20 seconds'
    from due, station
    where print_job.id = due.id and station.workshop = $1::integer and station.code = $3
    returning print_job.*, due.state as was, station.stock, station.first_place
)
select jsonb_build_object(
    'job', claimed.id, 'kind', claimed.kind, 'state', claimed.state, 'attempt', claimed.attempt,
    'payload', case claimed.was when 'queued' then
        (select jsonb_agg(item order by place) from jsonb_array_elements(claimed.payload) with ordinality as listed (item, place)
         where place > claimed.done) end,
    'labels', jsonb_array_length(claimed.payload) - claimed.done, 'done', claimed.done, 'page_ends', claimed.page_ends,
    'wish', claimed.wish, 'cups_job', coalesce(claimed.cups_job, 0), 'resumed', claimed.was = 'sending',
    'folder', claimed.sent_to like '/%', 'target', claimed.sent_to, 'stock', label_stock.data, 'first_place', claimed.first_place)
from claimed
join label_stock on label_stock.workshop = claimed.workshop and label_stock.code = claimed.stock
