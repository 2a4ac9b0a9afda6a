-- The taken order $1 whose kits are all packed is packed again. -> whether parcels of it are closed already
update job_order set state = 'packed'
where id = $1::bigint and state = 'taken'
  and exists (select from kit join job_window on job_window.id = kit.job_window where job_order = $1::bigint)
  and not exists (select from kit join job_window on job_window.id = kit.job_window
                  where job_order = $1::bigint and kit.state <> 'packed')
returning exists (select from parcel where parcel.job_order = job_order.id and parcel.state <> 'opened')
