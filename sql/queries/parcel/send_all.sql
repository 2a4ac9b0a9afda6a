-- Sends what is still here of the parcels of order $1 off. -> number of parcels
with sent as (
    update parcel set state = 'sent'
    from job_order
    where job_order.id = parcel.job_order and job_order.id = $1::bigint and job_order.state = 'packed' and parcel.state = 'packed'
    returning parcel.id
)
select to_jsonb(count(*)) from sent
