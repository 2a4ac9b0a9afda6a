-- Kits of workshop $1 as they fall due; each kind of order has an index of its own. $2 {"state"?: else all that are open, "order"?, "after"?: kit, "limit"?}
-- -> {"kits": [{kit, order, window, room, due, corded, state, lines, picked, short, pieces, matched}], "next"}
with asked as materialized (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, $2::jsonb ->> 'state' as state,
           $2::jsonb ->> 'order' as number, last.due, last.order_id, last.position,
           case when $2::jsonb ->> 'order' is not null then 'order'
                when $2::jsonb ->> 'state' in ('dispatched', 'cancelled') then $2::jsonb ->> 'state' else 'open' end as scope
    from (select) as always
    left join lateral (
        select job_order.due, job_order.id as order_id, job_window.position
        from kit
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order
        where kit.id = case when $2::jsonb ? 'after' then need_kit($1::integer, $2::jsonb ->> 'after', 'after') end
    ) as last on true
), page as (
    select one.*, found.number, found.due, row_number() over (order by found.due, found.id, one.position) as place
    from asked
    cross join lateral (
        -- Each order has a kit at least, so that many orders are enough for a page of kits.
        (select id, number, due from job_order
         where asked.scope = 'open' and workshop = $1::integer and state in ('taken', 'held', 'packed')
           and (asked.state is null or exists (select from job_window join kit on kit.job_window = job_window.id
                                               where job_window.job_order = job_order.id and kit.state = asked.state))
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) >= (asked.due, asked.order_id))
         order by due, id limit asked.most + 2)
        union all
        (select id, number, due from job_order
         where asked.scope = 'cancelled' and workshop = $1::integer and state = 'cancelled'
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) >= (asked.due, asked.order_id))
         order by due, id limit asked.most + 2)
        union all
        (select id, number, due from job_order
         where asked.scope = 'dispatched' and workshop = $1::integer and state = 'dispatched'
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) >= (asked.due, asked.order_id))
         order by due, id limit asked.most + 2)
        union all
        (select id, number, due from job_order
         where asked.scope = 'order' and workshop = $1::integer and number = asked.number)
    ) as found
    -- order by order, by index: "offset" keeps the planner from reading all windows there ever were
    cross join lateral (
        select kit.id, kit.job_window, kit.corded, kit.state, job_window.name, job_window.room, job_window.position
        from job_window join kit on kit.job_window = job_window.id
        where job_window.job_order = found.id
        offset 0
    ) as one
    where (asked.state is null or one.state = asked.state)
      and (asked.due is null or (found.due, found.id, one.position) > (asked.due, asked.order_id, asked.position))
    order by place
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
