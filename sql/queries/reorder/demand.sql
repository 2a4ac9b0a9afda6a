-- What was used of each current part, and how many bars of each length were opened, week by week, in workshop $1; the body
-- $2 may name one "part". Weeks are seven days each, counted back from now, oldest first, from the first entry on, at
-- most 104. Picks count, put-backs count against them: what came back was not used. One JSON array.
with asked as (select $1::integer as workshop, $2::jsonb ->> 'part' as part),
parts as (
    select part.id, part.code, part.name, part.unit, (part.data ->> 'price')::numeric as price,
           coalesce((select (supplier ->> 'lead_days')::integer
                     from catalogue_version version, jsonb_array_elements(version.data -> 'suppliers') supplier
                     where version.workshop = part.workshop and supplier ->> 'code' = part.data ->> 'supplier'
                     order by version.version desc limit 1), 14) as lead_days,
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
    select lengths.*, (select least(104, greatest(1, floor(extract(epoch from now() - min(arrived_at)) / 604800)))::integer
                       from bar where bar.workshop = (select workshop from asked) and bar.system = lengths.system
                         and bar.finish = lengths.finish and bar.length = lengths.length and bar.kind = 'bar') as weeks
    from lengths
)
select coalesce((
    select jsonb_agg(jsonb_build_object(
        'kind', 'part', 'code', parts.code, 'name', parts.name, 'unit', parts.unit, 'supplier', parts.supplier,
        'lead_days', parts.lead_days, 'price', parts.price, 'on_hand', parts.on_hand,
        'wanted', coalesce(wanted.open, 0), 'weeks', coalesce(part_weeks.weeks, '[0]')) order by parts.code)
    from parts left join wanted on wanted.part = parts.id left join part_weeks on part_weeks.part = parts.id), '[]')
|| coalesce((
    select jsonb_agg(jsonb_build_object(
        'kind', 'bar', 'code', system || ' ' || finish || ' ' || mm(length), 'name', 'bar', 'unit', 'each',
        'supplier', null, 'lead_days', 14, 'price', price,
        'on_hand', (select count(*) from bar where bar.workshop = (select workshop from asked)
                    and bar.system = bar_span.system and bar.finish = bar_span.finish and bar.length = bar_span.length
                    and bar.kind = 'bar' and bar.state = 'on-rack'),
        'wanted', 0,
        'weeks', (select jsonb_agg((select count(*) from opened where opened.system = bar_span.system
                     and opened.finish = bar_span.finish and opened.length = bar_span.length
                     and cut_at > now() - (back + 1) * interval '7 days' and cut_at <= now() - back * interval '7 days')
                     order by back desc)
                  from generate_series(0, weeks - 1) back)) order by system, finish, length)
    from bar_span where weeks is not null), '[]')
