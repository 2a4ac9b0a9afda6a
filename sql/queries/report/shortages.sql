-- What open orders of workshop $1 lack, and what that holds up. $2 {"after"?: key, "limit"?}. Parts that no stock is reserved for; and track:
-- pieces in no plan beyond what lies free on the rack, at the yield of the last year.
-- -> {"rows": [{kind, code, name, unit, short, due (earliest), orders (count), windows, order (the first held up), holds: the first 20 [{order, window, due, short}],
-- on_order, expected?, proposed}], "totals": {lines, orders}, "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 100) as most, coalesce($2::jsonb ->> 'after', '') as after
), line as materialized (
    select kit_line.part, job_order.id as job_order, job_order.number, job_window.name as window_name, job_order.due,
           kit_line.wanted - kit_line.picked - coalesce(held.units, 0) as short
    from kit
    join kit_line on kit_line.kit = kit.id and kit_line.picked < kit_line.wanted
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
    left join lateral (select sum(quantity) as units from reservation where reservation.kit_line = kit_line.id) as held on true
    where kit.workshop = $1::integer and kit.state in ('waiting', 'picking')
      and kit_line.wanted - kit_line.picked > coalesce(held.units, 0)
), waiting as materialized (
    -- from the open orders down (offset 0 keeps it so), whatever the planner makes of what was done before
    select piece.system, piece.finish, job_order.id as job_order, job_order.number, job_window.name as window_name, job_order.due,
           sum(piece.length) as length
    from job_order
    cross join lateral (select id, name from job_window where job_window.job_order = job_order.id offset 0) job_window
    cross join lateral (select * from piece where piece.job_window = job_window.id and piece.state = 'waiting' offset 0) piece
    where job_order.workshop = $1::integer and job_order.state = 'taken'
    group by piece.system, piece.finish, job_order.id, job_window.name
), reached as (
    select system, finish, sum(pieces_length)::numeric / nullif(sum(bars_length + offcuts_length + correction - kept_length), 0) as yield
    from cut_week where workshop = $1::integer and week > week_of(now()) - 365 group by system, finish
), free as (
    select system, finish, sum(length) as length from rack_now
    where workshop = $1::integer and state = 'on-rack'
      and not exists (select from plan_bar where plan_bar.bar = rack_now.id and plan_bar.state in ('planned', 'released'))
    group by system, finish
), track as (
    select system, finish, round(sum(waiting.length) / least(1, coalesce(min(reached.yield), 1)) - coalesce(min(free.length), 0)) as short
    from waiting left join free using (system, finish) left join reached using (system, finish)
    group by system, finish
), lacking as (
    select ('1 ' || part.code) collate "C" as key, 'part' as kind, part.id as part, null as system, null as finish, part.code, part.name, part.unit,
           held.short, held.due, held.orders, held.windows
    from (select part, sum(short) as short, min(due) as due, count(distinct job_order) as orders, count(*) as windows from line group by part) held
    join part on part.id = held.part
    union all
    select format('2 %s %s', track.system, track.finish), 'track', null, track.system, track.finish, format('%s %s', track.system, track.finish),
           'track', 'length', track.short, min(due), count(distinct job_order), count(*)
    from track join waiting using (system, finish) where track.short > 0 group by track.system, track.finish, track.short
), page as (
    select lacking.*, row_number() over (order by key) as place from lacking, asked where key > asked.after order by key
    limit (select most + 1 from asked)
), told as (
    select page.*, coming.*, held_up.holds
    from page
    cross join lateral (
        select coalesce(sum(greatest(0, line.quantity - line.received) * per.units) filter (where purchase.state = 'ordered'), 0) as on_order,
               min(purchase.expected) filter (where purchase.state = 'ordered' and line.received < line.quantity) as expected,
               coalesce(sum(line.quantity * per.units) filter (where purchase.state = 'proposed'), 0) as proposed
        from purchase join purchase_line line on line.purchase = purchase.id
        cross join lateral (select coalesce(line.length, 1) as units) per
        where purchase.workshop = $1::integer and purchase.state in ('proposed', 'ordered')
          and (line.part = page.part or (line.system, line.finish) = (page.system, page.finish))) coming
    cross join lateral (
        select jsonb_agg(jsonb_build_object('order', number, 'window', window_name, 'due', due, 'short', shown(page.unit, short))
                         order by due, number, window_name) as holds
        from (select number, window_name, due, short from line where line.part = page.part
              union all
              select number, window_name, due, length from waiting where (waiting.system, waiting.finish) = (page.system, page.finish)
              order by due, number, window_name limit 20) as held) held_up
)
select jsonb_build_object(
    'rows', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object('kind', kind, 'code', code, 'name', name, 'unit', unit,
                 'short', shown(unit, short), 'due', due, 'orders', orders, 'windows', windows, 'order', holds -> 0 -> 'order', 'holds', holds,
                 'on_order', shown(unit, on_order), 'expected', expected, 'proposed', shown(unit, proposed))) order by place), '[]')
             from told, asked where place <= most),
    'totals', (select jsonb_build_object('lines', count(*), 'orders', (select count(distinct job_order) from (
                   select job_order from line union all
                   select job_order from waiting join track using (system, finish) where track.short > 0) held)) from lacking),
    'next', (select max(key) filter (where place = most) from page, asked having count(*) > max(most)))
