-- Closes kit $1: complete becomes packed. Refuses one that is not complete, or whose order is not open. -> true
with checked as materialized (
    select kit.id
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    where kit.id = $1::bigint and case
        when job_order.state <> 'taken' then refuse('order-' || job_order.state, 'kit',
            format('Order %s is %s; its kits are not packed now.', job_order.number, job_order.state)) is not null
        when kit.state = 'packed' then refuse('kit-packed', 'kit', 'This kit is packed already.') is not null
        when kit.state in ('waiting', 'picking') then refuse('kit-not-complete', 'kit',
            format('Still to be picked: %s.', (select string_agg(part.name, ', ' order by kit_line.position)
                                               from kit_line join part on part.id = kit_line.part
                                               where kit_line.kit = kit.id and picked < wanted))) is not null
        else true end
), changed as (
    update kit set state = 'packed' from checked where kit.id = checked.id returning kit.id
)
select to_jsonb(count(*) > 0) from changed
