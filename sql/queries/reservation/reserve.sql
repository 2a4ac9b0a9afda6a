-- Gives free stock of some parts, all locked before (reservation/lock), to the kit lines that are short of them: by due
-- date, priority (9 first) and age of the order; from the bins as they come along the walk. Never more than a line
-- still wants, never more than is free: lines and bins are laid end to end along one scale of running sums for each
-- part, and what overlaps is reserved. Parts by length come from one reel each (migration 0071), parts that must look alike from
-- one batch (migration 0113).
-- $1 workshop, $2 [part id, ..], $3 order, or null for every open order
-- -> {"reserved": lines helped, "orders": [numbers helped], "short": [{order, window, part, name, unit, short}, ..]}
with asked as (
    select value::bigint as part from jsonb_array_elements_text($2::jsonb)
), unpicked as materialized (
    -- part by part, by index: "offset" keeps the planner from reading every line there ever was
    select kit_line.*
    from asked
    cross join lateral (select * from kit_line where kit_line.part = asked.part and picked < wanted offset 0) as kit_line
    where ($3::bigint is null or kit_line.kit in (select kit.id
                                                  from job_window join kit on kit.job_window = job_window.id
                                                  where job_window.job_order = $3))
), held as materialized (
    -- summed once for all lines: asked line by line it is the longest part of taking an order
    select reservation.kit_line, sum(reservation.quantity) as quantity
    from unpicked join reservation on reservation.kit_line = unpicked.id
    group by reservation.kit_line
), line as (
    select kit_line.id, kit_line.part, job_order.number, job_window.name as window_name,
           job_order.due, job_order.priority, job_order.id as order_id, job_window.position as window_position,
           kit_line.position,
           kit_line.wanted - kit_line.picked - coalesce(held.quantity, 0) as short
    from unpicked as kit_line
    left join held on held.kit_line = kit_line.id
    join kit on kit.id = kit_line.kit and kit.workshop = $1 and kit.state in ('waiting', 'picking')
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
), want as (
    select line.*, sum(short) over (partition by part order by due, priority desc, order_id, window_position, position, id) as upto
    from line
    where short > 0
), free as (
    select stock.id, stock.part, stock.on_hand - stock.reserved as quantity,
           sum(stock.on_hand - stock.reserved) over (partition by stock.part order by bin.walk, bin.id, stock.id) as upto
    from asked
    join part on part.id = asked.part and part.unit = 'each' and not one_batch(part.id)
    cross join lateral (select * from stock where stock.part = asked.part and on_hand > reserved offset 0) as stock
    join bin on bin.id = stock.bin
), reels as materialized (
    select * from reserve_reels($1, array(select part from asked), $3, 0)
    union all
    select * from reserve_batches($1, array(select part from asked), $3, 0)
), share as (
    select want.id as kit_line, free.id as stock,
           (least(want.upto, free.upto) - greatest(want.upto - want.short, free.upto - free.quantity))::bigint as quantity
    from want
    join free on free.part = want.part
             and free.upto > want.upto - want.short
             and want.upto > free.upto - free.quantity
), given as (
    insert into reservation (kit_line, stock, quantity)
    select kit_line, stock, quantity from share
    on conflict (kit_line, stock) do update set quantity = reservation.quantity + excluded.quantity
    returning kit_line
), helped as (
    select kit_line from given union select kit_line from reels
), left_short as (
    -- what lies beyond the end of all that is free, or has no reel or batch
    select want.*, coalesce(want.short - reels.quantity,
                            least(want.short, greatest(0, want.upto - coalesce(total.quantity, 0)))) as still
    from want left join reels on reels.kit_line = want.id
              left join (select part, sum(quantity) as quantity from free group by part) total on total.part = want.part
)
select jsonb_build_object(
    'reserved', (select count(*) from helped),
    'orders', (select coalesce(jsonb_agg(distinct number), '[]') from want where id in (select kit_line from helped)),
    'short', (select coalesce(jsonb_agg(jsonb_build_object(
                  'order', number, 'window', window_name, 'part', part.code, 'name', part.name, 'unit', part.unit,
                  'short', case part.unit when 'length' then mm(still::bigint) else still end)
                  order by due, priority desc, order_id, window_position, left_short.position), '[]')
              from left_short join part on part.id = left_short.part
              where still > 0))
