-- The order of kit $1 is packed when all its kits are. -> whether that is new
with changed as (
    update job_order set state = 'packed'
    from kit
    join job_window on job_window.id = kit.job_window
    where kit.id = $1::bigint and job_order.id = job_window.job_order and job_order.state = 'taken'
      and not exists (select from job_window other_window
                      left join kit other_kit on other_kit.job_window = other_window.id
                      where other_window.job_order = job_order.id and other_kit.state is distinct from 'packed')
    returning job_order.id
)
select to_jsonb(count(*) > 0) from changed
