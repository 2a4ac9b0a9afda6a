-- A resumed order $1 whose kits had all been packed is packed again.
update job_order set state = 'packed'
where id = $1::bigint and state = 'taken'
  and exists (select from kit join job_window on job_window.id = kit.job_window where job_order = $1::bigint)
  and not exists (select from kit join job_window on job_window.id = kit.job_window
                  where job_order = $1::bigint and kit.state <> 'packed')
returning id
