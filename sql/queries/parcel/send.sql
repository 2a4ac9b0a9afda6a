-- Sends parcel $1 off. Refuses one that has gone already, was opened, or whose order is not packed.
-- -> {order, parcel, left: [codes of those still here]}
with checked as materialized (
    select parcel.id, parcel.job_order, parcel.number
    from parcel join job_order on job_order.id = parcel.job_order
    where parcel.id = $1::bigint and case
        when parcel.state = 'sent' then refuse('parcel-sent', 'parcel',
            format('Parcel %s of %s of order %s has gone already.', parcel.number, parcel.of, job_order.number)) is not null
        when parcel.state = 'opened' then refuse('parcel-opened', 'parcel',
            format('This parcel of order %s was opened again; its label no longer counts, scan that of the new parcel.', job_order.number)) is not null
        when job_order.state <> 'packed' then refuse('order-' || job_order.state, 'parcel',
            format('Order %s is %s; nothing of it leaves the house now.', job_order.number, job_order.state)) is not null
        else true end
), sent as (
    update parcel set state = 'sent' from checked where parcel.id = checked.id returning parcel.id
)
select jsonb_build_object('order', job_order.number, 'parcel', scan_code('C', checked.id),
    'left', (select coalesce(jsonb_agg(scan_code('C', rest.id) order by rest.number), '[]') from parcel rest
             where rest.job_order = checked.job_order and rest.state = 'packed' and rest.id <> checked.id))
from checked join sent using (id) join job_order on job_order.id = checked.job_order
