-- An order of workshop $1 for what a change of order $2 gives up: like that one, its number with -R1, -R2, .. behind. -> id, number
insert into job_order (workshop, number, customer, due, priority, notes, unit, state, taken_at, earlier_of)
select workshop, free.number, customer, due, priority, '', unit, 'taken', taken_at, id
from job_order, lateral (
    select left(job_order.number, 34) || '-R' || n as number from generate_series(1, 9999) n
    where not exists (select from job_order other where other.workshop = job_order.workshop
                      and other.number = left(job_order.number, 34) || '-R' || n)
    order by n limit 1) free
where workshop = $1::integer and id = $2::bigint
returning id, number
