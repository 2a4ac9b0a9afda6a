-- Sends the packed order $1 off: its pieces, its kits and itself. Refuses one that is not packed and says what lacks.
-- -> {order, customer, kits, pieces}
with checked as materialized (
    select id, number, customer from job_order
    where id = $1::bigint and case
        when state = 'dispatched' then refuse('order-dispatched', 'order',
            format('Order %s has been dispatched already.', number)) is not null
        when state <> 'packed' then refuse('not-packed', 'order', format('Order %s is %s, not packed. %s', number, state,
            coalesce('Open kits: ' || (select string_agg(format('%s (%s)', job_window.name, kit.state), ', ' order by job_window.position)
                                       from job_window join kit on kit.job_window = job_window.id
                                       where job_window.job_order = job_order.id and kit.state <> 'packed') || '.', ''))) is not null
        else true end
), sent_piece as (
    update piece set state = 'dispatched'
    from checked join job_window on job_window.job_order = checked.id
    where piece.job_window = job_window.id and piece.state = 'matched'
    returning piece.id
), sent_kit as (
    update kit set state = 'dispatched'
    from checked join job_window on job_window.job_order = checked.id
    where kit.job_window = job_window.id and kit.state = 'packed'
    returning kit.id
), sent as (
    update job_order set state = 'dispatched' from checked where job_order.id = checked.id returning job_order.id
)
select jsonb_build_object('order', number, 'customer', customer, 'state', 'dispatched',
                          'kits', (select count(*) from sent_kit), 'pieces', (select count(*) from sent_piece))
from checked join sent using (id)
