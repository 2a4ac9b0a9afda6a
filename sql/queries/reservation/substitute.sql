-- After reservation/reserve: gives free stock of the parts $2 (all locked before) to the kit lines that are still short and
-- allow it as their substitute number $4; the order and the laying end to end are those of reservation/reserve.
-- $1 workshop, $2 [part id, ..], $3 order, or null for every open order, $4 1 for the first substitute
-- -> {"instead": [{order, window, part, instead, unit, quantity}, ..], "orders": [numbers helped], "more": whether a line that
-- is still short has another substitute, "short": as reservation/reserve has it}
with asked as (
    select value::bigint as part from jsonb_array_elements_text($2::jsonb)
), line as materialized (
    select kit_line.id, kit_line.part, kit_line.position, part.code, part.name, part.unit, part.one_batch as alike,  -- reserve_batches sees to those
           kit_line.lacking as short, need.*
    from asked
    cross join lateral (select * from kit_line where kit_line.part = asked.part and lacking > 0 offset 0) as kit_line
    cross join lateral (
        select job_order.number, job_order.due, job_order.priority, job_order.id as order_id, job_window.name as window_name,
               job_window.position as window_position
        from kit
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        where kit.id = kit_line.kit and kit.workshop = $1 and kit.state in ('waiting', 'picking')
        offset 0) as need
    cross join lateral (select * from part where part.id = kit_line.part offset 0) as part
    where need.order_id = coalesce($3::bigint, need.order_id)
), want as (
    select line.*, other.part as instead,
           sum(case when alike then 0 else short end) over (partition by other.part order by due, priority desc, order_id, window_position, line.position, line.id) as upto
    from line
    join kit_line_substitute other on other.kit_line = line.id and other.place = $4::integer
    join asked on asked.part = other.part
    where short > 0
), free as (
    select stock.id, stock.part, stock.on_hand - stock.reserved as quantity,
           sum(stock.on_hand - stock.reserved) over (partition by stock.part order by bin.walk, bin.id, stock.id) as upto
    from (select distinct instead from want) as named
    cross join lateral (select from part where part.id = named.instead and part.unit = 'each' offset 0) as by_the_piece
    cross join lateral (select * from stock where stock.part = named.instead and on_hand > reserved offset 0) as stock
    join bin on bin.id = stock.bin
), reels as materialized (
    select * from reserve_reels($1, array(select part from asked), $3, $4::integer)
    union all
    select * from reserve_batches($1, array(select part from asked), $3, $4::integer)
), share as (
    select want.id as kit_line, free.id as stock,
           (least(want.upto, free.upto) - greatest(want.upto - want.short, free.upto - free.quantity))::bigint as quantity
    from want
    join free on free.part = want.instead and not want.alike
             and free.upto > want.upto - want.short
             and want.upto > free.upto - free.quantity
), given as (
    insert into reservation (kit_line, stock, quantity)
    select kit_line, stock, quantity from share
    on conflict (kit_line, stock) do update set quantity = reservation.quantity + excluded.quantity
), helped as (
    select kit_line, sum(quantity) as quantity from share group by kit_line
    union all
    select kit_line, quantity from reels
), left_short as (
    select line.*, line.short - coalesce(helped.quantity, 0) as still
    from line left join helped on helped.kit_line = line.id
)
select jsonb_build_object(
    'instead', (select coalesce(jsonb_agg(jsonb_build_object(
                    'order', want.number, 'window', want.window_name, 'part', want.code, 'instead', other.code, 'name', other.name,
                    'unit', want.unit, 'quantity', shown(want.unit, helped.quantity))
                    order by want.due, want.order_id, want.window_position, want.position), '[]')
                from want join helped on helped.kit_line = want.id
                cross join lateral (select code, name from part where part.id = want.instead offset 0) as other),
    'orders', (select coalesce(jsonb_agg(distinct want.number), '[]') from want join helped on helped.kit_line = want.id),
    'more', exists (select from left_short join kit_line_substitute other on other.kit_line = left_short.id
                                                                         and other.place > $4::integer where still > 0),
    'short', (select coalesce(jsonb_agg(jsonb_build_object(
                  'order', number, 'window', window_name, 'part', code, 'name', name, 'unit', unit, 'short', shown(unit, still))
                  order by due, priority desc, order_id, window_position, left_short.position), '[]')
              from left_short
              where still > 0))
