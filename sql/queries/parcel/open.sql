-- Opens the closed parcels of order $1 again: what was in them lies loose. -> number of parcels
with emptied as (
    delete from parcel_thing using parcel
    where parcel.id = parcel_thing.parcel and parcel.job_order = $1::bigint and parcel.state = 'packed'
    returning parcel_thing.parcel
), opened as (
    update parcel set state = 'opened' where job_order = $1::bigint and state = 'packed' returning id
)
select to_jsonb(count(distinct opened.id)) from opened left join emptied on emptied.parcel = opened.id
