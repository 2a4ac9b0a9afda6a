-- What was used of each current part, and how many bars of each length were opened, week by week, in workshop $1; the body
-- $2 may name one "part". Weeks are seven days each, counted back from now, oldest first, from the first entry on, at
-- most 104. Picks count, put-backs count against them: what came back was not used. What is on order and what is proposed
-- is told beside it. Lead times are those of receipts really seen (of the thing itself, else of its supplier) once there
-- are three of them within two years, else the catalogue's ("lead_from"). One JSON array.
with asked as (select $1::integer as workshop, $2::jsonb ->> 'part' as part),
told as (
    select supplier ->> 'code' as supplier, (supplier ->> 'lead_days')::integer as days
    from (select data from catalogue_version where workshop = (select workshop from asked) order by version desc limit 1) newest,
         jsonb_array_elements(newest.data -> 'suppliers') supplier
),
lead as materialized (
    select supplier, purchase, part, system, days from purchase_lead
    where workshop = (select workshop from asked) and ordered_at > now() - interval '728 days'
),
thing_lead as (
    select supplier, part, system, avg(days) as days, stddev_samp(days) as deviation, count(*) as seen
    from lead group by supplier, part, system having count(*) >= 3
),
supplier_lead as (
    select supplier, avg(days) as days, stddev_samp(days) as deviation, count(*) as seen
    from (select supplier, avg(days) as days from lead group by supplier, purchase) as delivery
    group by supplier having count(*) >= 3
),
buying as materialized (
    select line.part, line.system, line.finish, line.length,
           coalesce(sum(greatest(0, line.quantity - line.received)) filter (where purchase.state = 'ordered'), 0) as on_order,
           coalesce(sum(line.quantity) filter (where purchase.state = 'proposed'), 0) as proposed
    from purchase join purchase_line line on line.purchase = purchase.id
    where purchase.workshop = (select workshop from asked) and purchase.state in ('proposed', 'ordered')
    group by line.part, line.system, line.finish, line.length
),
parts as (
    select part.id, part.code, part.name, part.unit, (part.data ->> 'price')::numeric as price,
           part.data ->> 'supplier' as supplier,
           coalesce(sum(stock.on_hand), 0) as on_hand, coalesce(sum(stock.reserved), 0) as reserved
    from asked
    join part on part.workshop = asked.workshop and part.current and (asked.part is null or part.code = asked.part)
    left join stock on stock.part = part.id
    group by part.id
),
wanted as (
    select line.part, sum(line.wanted - line.picked) as open
    from kit join kit_line line on line.kit = kit.id
    where kit.workshop = (select workshop from asked) and kit.state in ('waiting', 'picking') and line.picked < line.wanted
    group by line.part
),
moved as (
    select stock.part, ledger.at, case when ledger.kind in ('pick', 'put-back') then -ledger.delta else 0 end as used
    from parts join stock on stock.part = parts.id join ledger on ledger.stock = stock.id
    where ledger.at > now() - interval '728 days'
),
span as (
    select part, least(104, greatest(1, floor(extract(epoch from now() - min(at)) / 604800)))::integer as weeks
    from moved group by part
),
part_weeks as (
    select span.part, jsonb_agg(greatest(0, coalesce((select sum(used) from moved
                                where moved.part = span.part and at > now() - (back + 1) * interval '7 days'
                                  and at <= now() - back * interval '7 days'), 0)) order by back desc) as weeks
    from span, generate_series(0, span.weeks - 1) back
    group by span.part
),
lengths as (
    select bar_length.system, system_finish.finish, bar_length.length, bar_length.price
    from asked
    join bar_length on bar_length.workshop = asked.workshop and asked.part is null
    join system_finish on system_finish.workshop = bar_length.workshop and system_finish.system = bar_length.system
),
opened as (
    select bar.system, bar.finish, bar.length, plan_bar.cut_at
    from plan_bar join bar on bar.id = plan_bar.bar
    where plan_bar.workshop = (select workshop from asked) and plan_bar.state = 'cut' and bar.kind = 'bar'
      and plan_bar.cut_at > now() - interval '728 days'
),
bar_span as (
    select lengths.*,
           (select purchase.supplier from purchase join purchase_line on purchase_line.purchase = purchase.id
            where purchase.workshop = (select workshop from asked) and purchase.state in ('ordered', 'received')
              and purchase_line.system = lengths.system order by purchase.id desc limit 1) as supplier,
           (select least(104, greatest(1, floor(extract(epoch from now() - min(arrived_at)) / 604800)))::integer
                       from bar where bar.workshop = (select workshop from asked) and bar.system = lengths.system
                         and bar.finish = lengths.finish and bar.length = lengths.length and bar.kind = 'bar') as weeks
    from lengths
),
-- What parts and bars have in common: who supplies them and how long that takes.
lines as (
    select 1 as kind_order, parts.code as code_order, parts.supplier, parts.id as part, null as system, jsonb_build_object(
        'kind', 'part', 'code', parts.code, 'name', parts.name, 'unit', parts.unit, 'price', parts.price,
        'on_hand', parts.on_hand, 'wanted', coalesce(wanted.open, 0), 'on_order', coalesce(buying.on_order, 0),
        'proposed', coalesce(buying.proposed, 0), 'weeks', coalesce(part_weeks.weeks, '[0]')) as line
    from parts
    left join wanted on wanted.part = parts.id
    left join part_weeks on part_weeks.part = parts.id
    left join buying on buying.part = parts.id
    union all
    select 2, format('%s %s %s', system, finish, lpad(length::text, 10, '0')), supplier, null, system, jsonb_build_object(
        'kind', 'bar', 'code', system || ' ' || finish || ' ' || mm(length), 'name', 'bar', 'unit', 'each', 'price', price,
        'system', system, 'finish', finish, 'length', mm(length),
        'on_hand', (select count(*) from bar where bar.workshop = (select workshop from asked)
                    and bar.system = bar_span.system and bar.finish = bar_span.finish and bar.length = bar_span.length
                    and bar.kind = 'bar' and bar.state = 'on-rack'),
        'wanted', 0, 'on_order', coalesce(buying.on_order, 0), 'proposed', coalesce(buying.proposed, 0),
        'weeks', (select jsonb_agg((select count(*) from opened where opened.system = bar_span.system
                     and opened.finish = bar_span.finish and opened.length = bar_span.length
                     and cut_at > now() - (back + 1) * interval '7 days' and cut_at <= now() - back * interval '7 days')
                     order by back desc)
                  from generate_series(0, weeks - 1) back))
    from bar_span left join buying using (system, finish, length)
    where weeks is not null
)
select coalesce(jsonb_agg(line || jsonb_build_object(
    'supplier', lines.supplier,
    'lead_days', trim_scale(round(coalesce(thing_lead.days, supplier_lead.days, told.days, 14)::numeric, 1)),
    'lead_deviation', trim_scale(round(coalesce(thing_lead.deviation, supplier_lead.deviation, 0)::numeric, 1)),
    'lead_seen', coalesce(thing_lead.seen, supplier_lead.seen, 0),
    'lead_from', case when thing_lead.seen is not null then 'receipts' when supplier_lead.seen is not null then 'supplier'
                      when told.days is not null then 'catalogue' else 'assumed' end)
    order by kind_order, code_order), '[]')
from lines
left join thing_lead on thing_lead.supplier = lines.supplier
    and (thing_lead.part = lines.part or thing_lead.system = lines.system)
left join supplier_lead on supplier_lead.supplier = lines.supplier
left join told on told.supplier = lines.supplier
