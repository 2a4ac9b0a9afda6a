-- Parts of workshop $1 that lie in stock, that nothing open wants, and that were not used for $2 {"weeks"? (= 26), "after"?: rows
-- already seen, "limit"?}; what came within that time is not called dead. The dearest first.
-- -> {"weeks", "rows": [{part, name, unit, on_hand, price, value, last_used?, quiet_weeks?}], "totals": {parts, value}, "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'weeks')::integer, 26) as weeks, coalesce(($2::jsonb ->> 'limit')::integer, 200) as most,
           coalesce(($2::jsonb ->> 'after')::integer, 0) as after, week_of(now()) as this_week
), held as (
    select part, sum(on_hand) as on_hand from stock where workshop = $1::integer and on_hand > 0 group by part
), quiet as (
    select part.code, part.name, part.unit, held.on_hand, (part.data ->> 'price')::bigint as price, last.used as last_used,
           round(coalesce((part.data ->> 'price')::numeric, 0) * held.on_hand / case part.unit when 'length' then 10000 else 1 end) as value
    from asked
    join held on true
    join part on part.id = held.part
    cross join lateral (select (select last_used from part_year where part_year.part = part.id order by year desc limit 1) as used,
                               (select week from part_week where part_week.part = part.id order by week limit 1) as first) last
    where coalesce(last.used, last.first) < asked.this_week - 7 * asked.weeks
      and not exists (select from kit_line line join kit on kit.id = line.kit
                      where line.part = part.id and line.picked < line.wanted and kit.state in ('waiting', 'picking'))
), placed as (
    select quiet.*, row_number() over (order by value desc, code) as place from quiet
)
select jsonb_build_object('weeks', asked.weeks,
    'rows', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object('part', code, 'name', name, 'unit', unit,
                 'on_hand', shown(unit, on_hand), 'price', price, 'value', value, 'last_used', last_used,
                 'quiet_weeks', (this_week - last_used) / 7)) order by place), '[]')
             from placed where place > asked.after and place <= asked.after + most),
    'totals', (select jsonb_build_object('parts', count(*), 'value', coalesce(sum(value), 0)) from placed),
    'next', case when (select count(*) from placed) > asked.after + most then asked.after + most end)
from asked
