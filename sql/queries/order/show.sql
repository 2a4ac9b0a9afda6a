-- An order of workshop $1, $2 {order (number or scan code), full?}: its windows with pieces and kit, what is
-- short, and how it came to its state.
select jsonb_strip_nulls(jsonb_build_object(
    'order', job_order.number, 'code', scan_code('O', job_order.id), 'customer', customer, 'due', due, 'priority', priority,
    'notes', nullif(notes, ''), 'unit', job_order.unit, 'state', job_order.state, 'taken_at', taken_at,
    'windows', (select jsonb_agg(jsonb_build_object(
            'window', job_window.name, 'code', scan_code('W', job_window.id), 'room', nullif(room, ''), 'system', system,
            'finish', finish, 'corded', job_window.corded, 'overall', job_window.takeoff -> 'overall',
            'pieces', (select jsonb_agg(jsonb_build_object(
                    'piece', piece.id, 'code', scan_code('P', piece.id), 'number', piece.number, 'of', piece.of, 'side', side,
                    'length', mm(length), 'state', piece.state, 'batch', piece.batch, 'plan', plan_bar.plan)
                    order by piece.number)
                from piece left join plan_bar on plan_bar.id = piece.plan_bar where piece.job_window = job_window.id),
            'join_open', case when jsonb_array_length(job_window.takeoff -> 'splits') > 1 and kit.state <> 'cancelled'
                                   and not split_settled(job_window.id) then true end,
            'kit', scan_code('K', kit.id), 'kit_state', kit.state,
            'advice', job_window.takeoff -> 'advice',
            'survey', case when ($2::jsonb ->> 'full')::boolean then survey end,
            'takeoff', case when ($2::jsonb ->> 'full')::boolean then takeoff end) order by position)
        from job_window join kit on kit.job_window = job_window.id where job_order = job_order.id),
    'short', coalesce((select jsonb_agg(jsonb_build_object(
            'part', part.code, 'name', part.name, 'unit', part.unit,
            'wanted', case part.unit when 'length' then mm(wanted) else wanted end,
            'short', case part.unit when 'length' then mm(short) else short end) order by part.code)
        from (select part, sum(wanted)::bigint as wanted, sum(lacking)::bigint as short
              from kit_line join kit on kit.id = kit_line.kit join job_window on job_window.id = kit.job_window
              where job_window.job_order = job_order.id and kit.state <> 'cancelled'
              group by part) need join part on part.id = need.part
        where short > 0 and job_order.state = 'taken'), '[]'),
    'history', (select jsonb_agg(step order by id) from (
        select id, jsonb_build_object('at', at, 'from', nullif(from_state, ''), 'to', to_state, 'key', key_name,
                                  'reason', nullif(reason, '')) as step
        from history where kind = 'order' and subject = job_order.id order by id desc limit 50) steps),
    'changes', (select jsonb_agg(change order by id) from (
        select id, jsonb_build_object('at', at, 'key', key_name, 'reason', nullif(reason, ''), 'what', what) as change
        from order_change where order_change.job_order = job_order.id order by id desc limit 50) changes),
    'earlier_of', (select number from job_order later where later.id = job_order.earlier_of)))
from job_order, (select $2::jsonb ->> 'order' as name) asked
where (workshop = $1::integer and number = name)
   or (workshop = $1::integer and id = scanned('O', name))
order by number = name desc limit 1
