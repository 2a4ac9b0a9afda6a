-- The parts of workshop $1 with their stock. $2 {"part"?: code, "short"?: only what open kits lack, "after"?: code, "limit"?}
-- -> {"parts": [{part, name, unit, code, on_hand, reserved, free, short, bins: [..]}, ..], "next": the "after" of
-- the page that follows}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, coalesce($2::jsonb ->> 'after', '') as after,
           coalesce(($2::jsonb ->> 'short')::boolean, false) as only_short,
           case when $2::jsonb ? 'part' then need_part($1::integer, $2::jsonb ->> 'part', 'part') end as part
), page as (
    select part.id, part.code, part.name, part.unit, lack.short
    from asked
    join part on part.workshop = $1::integer and part.code > asked.after and (asked.part is null or part.id = asked.part)
    cross join lateral (
        select coalesce(sum(kit_line.wanted - kit_line.picked
                   - coalesce((select sum(quantity) from reservation where reservation.kit_line = kit_line.id), 0)), 0) as short
        from kit_line
        join kit on kit.id = kit_line.kit and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        where kit_line.part = part.id and kit_line.picked < kit_line.wanted
    ) as lack
    where (part.current or exists (select from stock where stock.part = part.id and stock.on_hand > 0))
      and (not only_short or lack.short > 0)
    order by part.code
    limit (select most + 1 from asked)
), numbered as (
    select page.*, row_number() over (order by code) as place from page
), held as (
    select stock.part, sum(stock.on_hand) as on_hand, sum(stock.reserved) as reserved,
           jsonb_agg(jsonb_build_object('bin', bin.code, 'code', scan_code('L', bin.id), 'batch', stock.batch,
                                        'on_hand', shown(numbered.unit, stock.on_hand),
                                        'reserved', shown(numbered.unit, stock.reserved))
                     order by bin.walk, bin.id, stock.batch) filter (where stock.on_hand > 0) as bins
    from numbered
    join stock on stock.part = numbered.id
    join bin on bin.id = stock.bin
    group by stock.part
)
select jsonb_build_object(
    'parts', coalesce(jsonb_agg(jsonb_build_object(
        'part', numbered.code, 'name', name, 'unit', unit, 'code', scan_code('T', numbered.id),
        'on_hand', shown(unit, coalesce(on_hand, 0)), 'reserved', shown(unit, coalesce(reserved, 0)),
        'free', shown(unit, coalesce(on_hand - reserved, 0)), 'short', shown(unit, short),
        'bins', coalesce(bins, '[]')) order by place) filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked) then max(numbered.code) filter (where place <= (select most from asked)) end)
from numbered left join held on held.part = numbered.id
