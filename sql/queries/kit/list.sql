-- Kits of workshop $1 as they fall due. $2 {"state"?: else all that are open, "order"?, "after"?: kit, "limit"?}
-- -> {"kits": [{kit, order, window, room, due, corded, state, lines, picked, short, pieces, matched}], "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, $2::jsonb ->> 'state' as state,
           $2::jsonb ->> 'order' as number,
           case when $2::jsonb ? 'after' then need_kit($1::integer, $2::jsonb ->> 'after', 'after') end as after
), page as (
    select kit.id, kit.job_window, kit.corded, kit.state, job_order.number, job_order.due, job_window.name, job_window.room,
           row_number() over (order by job_order.due, job_order.id, job_window.position) as place
    from asked
    join kit on kit.workshop = $1::integer
            and case when asked.state is not null then kit.state = asked.state
                     when asked.number is not null then true
                     else kit.state in ('waiting', 'picking', 'complete', 'packed') end
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order and (asked.number is null or job_order.number = asked.number)
    where asked.after is null
       or (job_order.due, job_order.id, job_window.position)
        > (select last_order.due, last_order.id, last_window.position
           from kit last_kit
           join job_window last_window on last_window.id = last_kit.job_window
           join job_order last_order on last_order.id = last_window.job_order
           where last_kit.id = asked.after)
    order by job_order.due, job_order.id, job_window.position
    limit (select most + 1 from asked)
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
