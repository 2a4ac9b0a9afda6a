-- Kits of workshop $1 as they fall due. $2 {"state"?: else all that are open, "order"?, "after"?: kit, "limit"?}
-- -> {"kits": [{kit, order, window, room, due, corded, state, lines, picked, short, pieces, matched}], "next"}
with asked as materialized (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, $2::jsonb ->> 'state' as state,
           $2::jsonb ->> 'order' as number, last.due, last.order_id, last.position,
           $2::jsonb ->> 'order' is null
               and coalesce($2::jsonb ->> 'state', '') not in ('dispatched', 'cancelled') as open_only
    from (select) as always
    left join lateral (
        select job_order.due, job_order.id as order_id, job_window.position
        from kit
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order
        where kit.id = case when $2::jsonb ? 'after' then need_kit($1::integer, $2::jsonb ->> 'after', 'after') end
    ) as last on true
), page as (
    select found.*, row_number() over (order by found.due, found.order_id, found.position) as place
    from asked
    cross join lateral (
        (select kit.id, kit.job_window, kit.corded, kit.state, job_order.number, job_order.due, job_order.id as order_id,
                job_window.name, job_window.room, job_window.position
         from job_order
         join job_window on job_window.job_order = job_order.id
         join kit on kit.job_window = job_window.id
         where asked.open_only and job_order.workshop = $1::integer and job_order.state in ('taken', 'held', 'packed')
           and (asked.state is null or kit.state = asked.state)
           and (asked.due is null or (job_order.due >= asked.due
                and (job_order.due, job_order.id, job_window.position) > (asked.due, asked.order_id, asked.position)))
         order by job_order.due, job_order.id, job_window.position
         limit asked.most + 1)
        union all
        (select kit.id, kit.job_window, kit.corded, kit.state, job_order.number, job_order.due, job_order.id,
                job_window.name, job_window.room, job_window.position
         from job_order
         join job_window on job_window.job_order = job_order.id
         join kit on kit.job_window = job_window.id
         where not asked.open_only and job_order.workshop = $1::integer
           and (asked.number is null or job_order.number = asked.number)
           and (asked.state is null or kit.state = asked.state)
           and (asked.due is null or (job_order.due >= asked.due
                and (job_order.due, job_order.id, job_window.position) > (asked.due, asked.order_id, asked.position)))
         order by job_order.due, job_order.id, job_window.position
         limit asked.most + 1)
    ) as found
)
select jsonb_build_object(
    'kits', coalesce(jsonb_agg(jsonb_build_object(
        'kit', scan_code('K', page.id), 'order', number, 'window', name, 'room', room, 'due', due, 'corded', corded,
        'state', state, 'lines', count.lines, 'picked', count.picked, 'short', count.short,
        'pieces', count.pieces, 'matched', count.matched) order by place)
        filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked)
                 then scan_code('K', max(page.id) filter (where place = (select most from asked))) end)
from page
cross join lateral (
    select count(*) as lines, count(*) filter (where kit_line.picked = wanted) as picked,
           count(*) filter (where kit_line.picked + held.units < wanted) as short,
           (select count(*) from piece where piece.job_window = page.job_window) as pieces,
           (select count(*) from piece where piece.job_window = page.job_window
                                         and piece.state in ('matched', 'dispatched')) as matched
    from kit_line
    cross join lateral (select coalesce(sum(quantity), 0) as units from reservation
                        where reservation.kit_line = kit_line.id) as held
    where kit_line.kit = page.id
) as count
