-- Locks the order of the parcel that $2 {"parcel": code} names in workshop $1, then its kits and the parcel.
-- -> {"parcel": id, "order": id}
with named as materialized (
    select parcel.id, parcel.job_order from parcel
    where parcel.workshop = $1::integer and parcel.id = scanned('C', $2::jsonb ->> 'parcel')
), above as materialized (
    select job_order.id
    from named
    join job_order on job_order.id = named.job_order
    join job_window on job_window.job_order = job_order.id
    join kit on kit.job_window = job_window.id
    order by kit.id
    for no key update of job_order, kit
)
select jsonb_build_object('parcel', parcel.id, 'order', parcel.job_order)
from parcel
where parcel.id in (select id from named) and parcel.job_order in (select id from above)
for no key update
