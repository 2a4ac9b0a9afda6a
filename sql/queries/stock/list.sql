-- The parts of workshop $1 with their stock. $2 {"part"?: code, "short"?: only what open kits lack, "after"?: code, "limit"?}
-- -> {"parts": [{part, name, unit, code, on_hand, reserved, free, short, bins: [..]}, ..], "next": the "after" of
-- the page that follows}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, coalesce($2::jsonb ->> 'after', '') as after,
           coalesce(($2::jsonb ->> 'short')::boolean, false) as only_short,
           case when $2::jsonb ? 'part' then need_part($1::integer, $2::jsonb ->> 'part', 'part') end as part
), held as (
    select kit_line, sum(quantity) as units from reservation group by kit_line
), lacking as (
    select kit_line.part, sum(kit_line.wanted - kit_line.picked - coalesce(held.units, 0)) as short
    from asked
    join kit on kit.workshop = $1::integer and kit.state in ('waiting', 'picking')
    join kit_line on kit_line.kit = kit.id and kit_line.picked < kit_line.wanted
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
    left join held on held.kit_line = kit_line.id
    where asked.only_short
    group by kit_line.part
    having sum(kit_line.wanted - kit_line.picked - coalesce(held.units, 0)) > 0
), chosen as (
    select lacking.part from asked join lacking on asked.only_short and (asked.part is null or lacking.part = asked.part)
    union all
    select part.id from asked join part on part.id = asked.part
    where not asked.only_short
      and (part.current or exists (select from stock where stock.part = part.id and stock.on_hand > 0))
    union all
    select listed.id
    from asked
    cross join lateral (
        select part.id from part
        where not asked.only_short and asked.part is null and part.workshop = $1::integer and part.code > asked.after
          and (part.current or exists (select from stock where stock.part = part.id and stock.on_hand > 0 offset 0))
        order by part.code
        limit asked.most + 1) as listed
), page as (
    select part.id, part.code, part.name, part.unit, row_number() over (order by part.code) as place
    from (select part.* from chosen join part on part.id = chosen.part
          where part.code > (select after from asked)
          order by part.code
          limit (select most + 1 from asked)) as part
), numbered as (
    select page.*, lack.short, held.on_hand, held.reserved, held.bins
    from page
    cross join lateral (
        select coalesce(sum(kit_line.wanted - kit_line.picked
                   - coalesce((select sum(quantity) from reservation where reservation.kit_line = kit_line.id), 0)), 0) as short
        from kit_line
        join kit on kit.id = kit_line.kit and kit.state in ('waiting', 'picking')
        join job_window on job_window.id = kit.job_window
        join job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        where kit_line.part = page.id and kit_line.picked < kit_line.wanted
    ) as lack
    cross join lateral (
        select coalesce(sum(stock.on_hand), 0) as on_hand, coalesce(sum(stock.reserved), 0) as reserved,
               jsonb_agg(jsonb_build_object('bin', bin.code, 'code', scan_code('L', bin.id), 'batch', stock.batch,
                                            'on_hand', shown(page.unit, stock.on_hand),
                                            'reserved', shown(page.unit, stock.reserved))
                         order by bin.walk, bin.id, stock.batch) filter (where stock.on_hand > 0) as bins
        from stock
        join bin on bin.id = stock.bin
        where stock.part = page.id
    ) as held
)
select jsonb_build_object(
    'parts', coalesce(jsonb_agg(jsonb_build_object(
        'part', numbered.code, 'name', name, 'unit', unit, 'code', scan_code('T', numbered.id),
        'on_hand', shown(unit, on_hand), 'reserved', shown(unit, reserved),
        'free', shown(unit, on_hand - reserved), 'short', shown(unit, short),
        'bins', coalesce(bins, '[]')) order by place) filter (where place <= (select most from asked)), '[]'),
    'next', case when count(*) > (select most from asked) then max(numbered.code) filter (where place <= (select most from asked)) end)
from numbered
