-- What is set aside in workshop $1 and may not be needed: $2 {"days"?: so long nothing moved, "after"?: reservation, "limit"?}.
-- "gone": its order or kit no longer waits for it; "held": the order is on hold; "overdue": it should have left;
-- "idle": nothing was picked, cut or changed of it. Moved is the last step of the order, its kit and its pieces, or pick.
-- -> {"reservations": [{reservation, why, days, order, due, window, kit, part, name, unit, bin, batch, quantity}], "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'days')::integer, 14) as days, coalesce(($2::jsonb ->> 'after')::bigint, 0) as after,
           coalesce(($2::jsonb ->> 'limit')::integer, 200) as most
), kit_now as materialized (
    select kit.id, kit.state, kit.job_window, job_window.name as window_name, job_order.number, job_order.due, job_order.state as order_state,
           greatest((select max(at) from history where kind = 'order' and subject = job_order.id),
                    (select max(at) from history where kind = 'kit' and subject = kit.id),
                    (select max(history.at) from piece join history on history.kind = 'piece' and history.subject = piece.id
                     where piece.job_window = kit.job_window),
                    (select max(ledger.at) from kit_line join ledger on ledger.kit_line = kit_line.id where kit_line.kit = kit.id)) as moved_at
    from (select distinct kit_line.kit from reservation join kit_line on kit_line.id = reservation.kit_line) as holding
    join kit on kit.id = holding.kit and kit.workshop = $1::integer
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
), told as (
    select kit_now.*, case
               when order_state in ('dispatched', 'cancelled') or state not in ('waiting', 'picking') then 'gone'
               when moved_at > now() - make_interval(days => asked.days) then null
               when order_state = 'held' then 'held'
               when due < (now() at time zone 'UTC')::date - asked.days then 'overdue'
               else 'idle' end as why,
           floor(extract(epoch from now() - moved_at) / 86400)::integer as days
    from kit_now cross join asked
), page as (
    select reservation.id, reservation.quantity, reservation.stock, told.why, told.days, told.number, told.due, told.window_name,
           told.id as kit
    from reservation
    join kit_line on kit_line.id = reservation.kit_line
    join told on told.id = kit_line.kit and told.why is not null
    cross join asked
    where reservation.id > asked.after
    order by reservation.id
    limit (select most + 1 from asked)
), numbered as (
    select page.*, row_number() over (order by id) as place from page
)
select jsonb_build_object(
    'reservations', coalesce(jsonb_agg(jsonb_build_object(
        'reservation', numbered.id, 'why', why, 'days', days, 'order', number, 'due', due, 'window', window_name,
        'kit', scan_code('K', kit), 'part', part.code, 'name', part.name, 'unit', part.unit, 'bin', bin.code, 'batch', stock.batch,
        'quantity', shown(part.unit, numbered.quantity)) order by numbered.place) filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked) then max(numbered.id) filter (where place = (select most from asked)) end)
from numbered
join stock on stock.id = numbered.stock
join part on part.id = stock.part
join bin on bin.id = stock.bin
