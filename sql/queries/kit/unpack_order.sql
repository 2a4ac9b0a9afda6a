-- An order with an open kit $1 is not packed any more. -> whether that is new
with changed as (
    update job_order set state = 'taken'
    from kit
    join job_window on job_window.id = kit.job_window
    where kit.id = $1::bigint and job_order.id = job_window.job_order and job_order.state = 'packed'
    returning job_order.id
)
select to_jsonb(count(*) > 0) from changed
