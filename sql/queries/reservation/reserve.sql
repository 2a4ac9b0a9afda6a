-- Gives free stock of some parts, all locked before (reservation/lock), to the kit lines that are short of them: by due
-- date, priority (9 first) and age of the order; from the bins as they come along the walk. Never more than a line
-- still wants, never more than is free: lines and bins are laid end to end along one scale of running sums for each
-- part, and what overlaps is reserved. Parts by length come from one reel each (migration 0071), parts that must look alike from
-- one batch (migration 0113).
-- $1 workshop, $2 [part id, ..], $3 order, or null for every open order
-- -> {"reserved": lines helped, "orders": [numbers helped], "short": [{order, window, part, name, unit, short}, ..]}
with line as materialized (
    -- part by part and line by line, by index: "offset" keeps the planner from reading all there ever were
    select kit_line.id, kit_line.part, kit_line.position, kit_line.lacking as short, part.code, part.name, part.unit, part.one_batch,
           need.*
    from jsonb_array_elements_text($2::jsonb) as asked
    cross join lateral (select * from kit_line where kit_line.part = asked.value::bigint and lacking > 0 offset 0) as kit_line
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
    select line.*, sum(short) over (partition by part order by due, priority desc, order_id, window_position, position, id) as upto
    from line
), free as (
    select stock.id, stock.part, stock.on_hand - stock.reserved as quantity,
           sum(stock.on_hand - stock.reserved) over (partition by stock.part order by bin.walk, bin.id, stock.id) as upto
    from (select distinct part from line where unit = 'each' and not one_batch) as asked
    cross join lateral (select * from stock where stock.part = asked.part and on_hand > reserved offset 0) as stock
    join bin on bin.id = stock.bin
), reels as materialized (
    select given.*
    from (select array_agg(distinct part) filter (where unit = 'length') as by_length, array_agg(distinct part) filter (where one_batch) as alike
          from line) as asked
    cross join lateral (
        select * from reserve_reels($1, asked.by_length, $3, 0) where asked.by_length is not null
        union all
        select * from reserve_batches($1, asked.alike, $3, 0) where asked.alike is not null) as given
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
                  'order', number, 'window', window_name, 'part', code, 'name', name, 'unit', unit,
                  'short', case unit when 'length' then mm(still::bigint) else still end)
                  order by due, priority desc, order_id, window_position, position), '[]')
              from left_short
              where still > 0))
