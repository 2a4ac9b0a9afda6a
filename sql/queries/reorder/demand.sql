-- What the reorder points of workshop $1 come from: current parts, and bars of each length that ever came, are on order or that
-- waiting pieces call for; a page of them, by key. $2 {"part"?: code | "bar"?: {"system", "finish", "length" (tenths)}, "after"?: key,
-- "limit"?}. -> {"this_week", "week_left": share of it, "service": of the catalogue's practice or null, "open": whole weeks that were
-- open for work, counted back (0: the last one), "rows": [..], "next"}. A row: what the thing is; who supplies it, on what terms and
-- how long that takes; "class" by the value asked for in a year (class_bound); "weeks" of history and in them "demand" [[weeks back,
-- quantity]], which is what orders called for (asked_week), and for bars how many were opened; on_hand,
-- for parts by length what of it is "reserved", the free "rests" of reels and the "lengths" asked for in a year [[length, pieces]];
-- proposed; "coming" [[weeks ahead, quantity]]; for parts "due" [[weeks ahead, hard, soft]], what open orders still take: hard once
-- their track is released; for bars "waiting" [[weeks ahead, length of pieces in no plan]], the "yield" reached, and the "share" of
-- this length in what was opened. Weeks begin on Monday. Lead times are those of receipts really seen (of the thing itself, else of
-- its supplier) once there are three of them within two years, else the catalogue's ("lead_from").
with asked as materialized (
    select $1::integer as workshop, $2::jsonb ->> 'part' as part, ($2::jsonb -> 'bar') ->> 'system' as system,
           ($2::jsonb -> 'bar') ->> 'finish' as finish, (($2::jsonb -> 'bar') ->> 'length')::bigint as length,
           coalesce(($2::jsonb ->> 'limit')::integer, 100) as most, coalesce($2::jsonb ->> 'after', '') as after,
           week_of(now()) as this_week
), newest as materialized (
    select data from catalogue_version where workshop = (select workshop from asked) order by version desc limit 1
), told as (
    select supplier ->> 'code' as supplier, (supplier ->> 'lead_days')::integer as days
    from newest, jsonb_array_elements(newest.data -> 'suppliers') supplier
), supplier_lead as (
    select supplier, avg(days) as days, stddev_samp(days) as deviation, count(*) as seen
    from delivery where workshop = (select workshop from asked) and ordered_at > now() - interval '728 days'
    group by supplier having count(*) >= 3
), buying as materialized (
    select line.part, line.system, line.finish, line.length, purchase.state, line.quantity, line.received,
           greatest(0, (week_of(purchase.expected::timestamp at time zone 'UTC') - asked.this_week) / 7) as ahead
    from asked
    join purchase on purchase.workshop = asked.workshop and purchase.state in ('proposed', 'ordered')
    join purchase_line line on line.purchase = purchase.id
), waiting as materialized (
    -- from the open orders down (offset 0 keeps it so), whatever the planner makes of what was done before
    select piece.system, piece.finish, greatest(0, (week_of(job_order.due::timestamp at time zone 'UTC') - asked.this_week) / 7) as ahead,
           sum(piece.length) as length
    from asked
    join job_order on job_order.workshop = asked.workshop and job_order.state = 'taken' and asked.part is null
    cross join lateral (select id from job_window where job_window.job_order = job_order.id offset 0) job_window
    cross join lateral (select * from piece where piece.job_window = job_window.id and piece.state = 'waiting' offset 0) piece
    group by piece.system, piece.finish, 3
), opened as materialized (
    select bar_week.system, bar_week.finish, bar_week.length, min(week) as first,
           sum(bar_week.opened) filter (where week > asked.this_week - 364) as year
    from asked join bar_week on bar_week.workshop = asked.workshop and asked.part is null
    group by bar_week.system, bar_week.finish, bar_week.length
), thing as (
    select ('1 ' || part.code) collate "C" as key, part.id as part, null as system, null as finish, null::bigint as length, part.code,
           part.name, part.unit, part.data ->> 'supplier' as supplier, (part.data ->> 'price')::bigint as price, part.data as terms
    from asked join part on part.workshop = asked.workshop and part.current and asked.system is null
        and (asked.part is null or part.code = asked.part)
    union all
    select format('2 %s %s %s', bar_length.system, system_finish.finish, lpad(bar_length.length::text, 10, '0')), null, bar_length.system,
           system_finish.finish, bar_length.length, format('%s %s %s', bar_length.system, system_finish.finish, mm(bar_length.length)), 'bar',
           'each', bar_length.terms ->> 'supplier', bar_length.price, bar_length.terms
    from asked
    join bar_length on bar_length.workshop = asked.workshop and asked.part is null
    join system_finish on system_finish.workshop = bar_length.workshop and system_finish.system = bar_length.system
    where (asked.system is null or (asked.system, asked.finish, asked.length) = (bar_length.system, system_finish.finish, bar_length.length))
      and ((bar_length.system, system_finish.finish, bar_length.length) in (select system, finish, length from opened)
           or (bar_length.system, system_finish.finish, bar_length.length) in (select system, finish, length from buying where system is not null)
           or ((bar_length.system, system_finish.finish) in (select system, finish from waiting)
               and bar_length.length = (select max(length) from bar_length longest
                                        where longest.workshop = asked.workshop and longest.system = bar_length.system)))
), page as materialized (
    select found.*, row_number() over (order by key) as place
    from (select thing.* from thing, asked where key > asked.after order by key limit (select most + 1 from asked)) as found
), still as materialized (
    -- what the lines of a part want, less what is set aside for them of another; and what is set aside of the part for the
    -- lines of another
    select page.part, line.kit, line.wanted - line.picked
               - coalesce((select sum(quantity) from reservation join stock on stock.id = reservation.stock
                           where reservation.kit_line = line.id and stock.part <> line.part), 0) as units
    from page join kit_line line on line.part = page.part and line.picked < line.wanted
    union all
    select page.part, line.kit, reservation.quantity
    from page
    join stock on stock.part = page.part
    join reservation on reservation.stock = stock.id
    join kit_line line on line.id = reservation.kit_line and line.part <> page.part
), taking as materialized (
    -- their kits, where these still take something: in which week, and whether their track is released
    select kit.id as kit, greatest(0, (week_of(job_order.due::timestamp at time zone 'UTC') - asked.this_week) / 7) as ahead,
           coalesce(released.yes, false) as released
    from asked
    join (select distinct kit from still) wanting on true
    join kit on kit.id = wanting.kit and kit.state in ('waiting', 'picking')
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    left join lateral (select true as yes from piece where piece.job_window = kit.job_window
                       and piece.state in ('released', 'cut', 'matched') limit 1) released on true
), due as materialized (
    select part, jsonb_agg(jsonb_build_array(ahead, hard, soft) order by ahead) as due
    from (select still.part, taking.ahead, coalesce(sum(still.units) filter (where taking.released), 0) as hard,
                 coalesce(sum(still.units) filter (where not taking.released), 0) as soft
          from still join taking on taking.kit = still.kit group by still.part, taking.ahead) as week
    group by part
), parts as materialized (
    -- what only parts have
    select page.key, held.on_hand, held.reserved, held.rests, cut.lengths, history.first, history.demand, due.due
    from page
    cross join asked
    cross join lateral (
        select coalesce(sum(on_hand), 0) as on_hand, coalesce(sum(reserved), 0) as reserved,
               jsonb_agg(on_hand - reserved) filter (where page.unit = 'length' and on_hand > reserved) as rests
        from stock where stock.part = page.part) held
    cross join lateral (
        select jsonb_agg(jsonb_build_array(length, pieces)) as lengths
        from (select length, sum(pieces) as pieces from asked_length
              where page.unit = 'length' and asked_length.part = page.part and month > asked.this_week - 396
              group by length having sum(pieces) > 0) asked_for) cut
    cross join lateral (
        select least((select week from part_week earliest where earliest.part = page.part order by week limit 1),
                     (select week from asked_week earliest where earliest.part = page.part order by week limit 1)) as first,
               jsonb_agg(jsonb_build_array((asked.this_week - week) / 7 - 1, asked_week.asked)) filter (where asked_week.asked > 0) as demand
        from asked_week where asked_week.part = page.part and week > asked.this_week - 729) history
    left join due on due.part = page.part
    where page.part is not null
), bars as materialized (
    -- what only bars have
    select page.key, held.on_hand, opened.first, opened.year, history.demand, pieces.waiting, reached.yield,
           case when all_lengths.year > 0 then coalesce(opened.year, 0)::numeric / all_lengths.year
                when page.length = longest.length then 1 else 0 end as share, buyer.supplier
    from page
    cross join asked
    left join opened on (opened.system, opened.finish, opened.length) = (page.system, page.finish, page.length)
    cross join lateral (select max(length) as length from bar_length
                        where bar_length.workshop = asked.workshop and bar_length.system = page.system) longest
    cross join lateral (select coalesce(sum(other.year), 0) as year from opened other
                        where (other.system, other.finish) = (page.system, page.finish)) all_lengths
    cross join lateral (
        select count(*) as on_hand from rack_now
        where rack_now.workshop = asked.workshop and kind = 'bar' and rack_now.state = 'on-rack'
          and (rack_now.system, rack_now.finish, rack_now.length) = (page.system, page.finish, page.length)
          and not exists (select from plan_bar where plan_bar.bar = rack_now.id and plan_bar.state in ('planned', 'released'))) held
    cross join lateral (
        select jsonb_agg(jsonb_build_array((asked.this_week - week) / 7 - 1, bar_week.opened)) filter (where bar_week.opened > 0) as demand
        from bar_week where bar_week.workshop = asked.workshop
          and (bar_week.system, bar_week.finish, bar_week.length) = (page.system, page.finish, page.length)
          and week > asked.this_week - 729) history
    cross join lateral (select jsonb_agg(jsonb_build_array(ahead, waiting.length)) as waiting from waiting
                        where (waiting.system, waiting.finish) = (page.system, page.finish)) pieces
    cross join lateral (
        select sum(pieces_length)::numeric / nullif(sum(bars_length + offcuts_length + correction - kept_length), 0) as yield
        from cut_week where cut_week.workshop = asked.workshop
          and (cut_week.system, cut_week.finish) = (page.system, page.finish) and week > asked.this_week - 364) reached
    left join lateral (
        select purchase.supplier from purchase join purchase_line on purchase_line.purchase = purchase.id
        where purchase.workshop = asked.workshop and purchase.state in ('ordered', 'received') and purchase_line.system = page.system
        order by purchase.id desc limit 1) buyer on true
    where page.part is null
), thing_lead as materialized (
    -- of this part, or of bars of this system, from this supplier: the days of each line of which all came that was to come
    select thing.key, lead.*
    from (select page.key, page.part, page.system, coalesce(page.supplier, bars.supplier) as supplier
          from page left join bars on bars.key = page.key) thing
    cross join lateral (
        select avg(line_days) as days, stddev_samp(line_days) as deviation, count(*) as seen
        from (select sum(receipt.quantity * extract(epoch from receipt.at - purchase.ordered_at)) / sum(receipt.quantity) / 86400 as line_days
              from purchase_line line
              join purchase on purchase.id = line.purchase and purchase.workshop = (select workshop from asked)
                  and purchase.supplier = thing.supplier and purchase.state in ('ordered', 'received')
                  and purchase.ordered_at > now() - interval '728 days'
              join purchase_receipt receipt on receipt.line = line.id
              where (line.part = thing.part or line.system = thing.system)
                and (purchase.state = 'received' or line.received >= line.quantity)
              group by line.id) as line) lead
    where lead.seen >= 3
), listed as (
    select page.key, page.place, coalesce(page.supplier, bars.supplier) as supplier, page.part, page.system, jsonb_build_object(
        'kind', case when page.part is null then 'bar' else 'part' end, 'code', page.code, 'name', page.name, 'unit', page.unit,
        'system', page.system, 'finish', page.finish, 'length', mm(page.length), 'price', page.price,
        'pack', coalesce(page.terms -> 'pack', page.terms -> 'reel'),
        'least', page.terms -> 'least', 'prices', page.terms -> 'prices',
        'class', case when spent.value <= 0 then 'C' when spent.value >= class_bound.a_from then 'A'
                      when spent.value >= class_bound.b_from then 'B' else 'C' end,
        'on_hand', coalesce(parts.on_hand, bars.on_hand), 'reserved', parts.reserved, 'rests', parts.rests, 'lengths', parts.lengths,
        'weeks', least(104, greatest(0, (asked.this_week - coalesce(parts.first, bars.first)) / 7)),
        'demand', coalesce(parts.demand, bars.demand, '[]'), 'due', coalesce(parts.due, '[]'), 'waiting', coalesce(bars.waiting, '[]'),
        'yield', round(bars.yield, 4), 'share', round(bars.share, 4), 'proposed', coming.proposed, 'coming', coalesce(coming.coming, '[]')) as line
    from page
    cross join asked
    left join parts on parts.key = page.key
    left join bars on bars.key = page.key
    left join class_bound on class_bound.workshop = asked.workshop and class_bound.bars = (page.part is null)
    cross join lateral (select coalesce(case when page.part is null then bars.year * page.price
                                             else part_value(page.part, page.price, page.unit) end, 0) as value) spent
    cross join lateral (
        select coalesce(sum(quantity) filter (where state = 'proposed'), 0) as proposed,
               jsonb_agg(jsonb_build_array(ahead, quantity - received)) filter (where state = 'ordered' and quantity > received) as coming
        from buying
        where buying.part = page.part or (buying.system, buying.finish, buying.length) = (page.system, page.finish, page.length)) coming
)
select jsonb_build_object(
    'this_week', this_week, 'week_left', round((7 - extract(epoch from now() - this_week::timestamp at time zone 'UTC') / 86400)::numeric / 7, 3),
    'service', (select data -> 'practice' -> 'service' from newest),
    'open', (select coalesce(jsonb_agg((this_week - week) / 7 - 1), '[]') from open_week
             where open_week.workshop = asked.workshop and week < this_week and week > this_week - 729),
    'rows', (select coalesce(jsonb_agg(line || jsonb_build_object(
            'supplier', listed.supplier,
            'lead_days', trim_scale(round(coalesce(thing_lead.days, supplier_lead.days, told.days, 14)::numeric, 1)),
            'lead_deviation', trim_scale(round(coalesce(thing_lead.deviation, supplier_lead.deviation, 0)::numeric, 1)),
            'lead_seen', coalesce(thing_lead.seen, supplier_lead.seen, 0),
            'lead_from', case when thing_lead.seen is not null then 'receipts' when supplier_lead.seen is not null then 'supplier'
                              when told.days is not null then 'catalogue' else 'assumed' end)
            order by listed.key), '[]')
        from listed
        left join thing_lead on thing_lead.key = listed.key
        left join supplier_lead on supplier_lead.supplier = listed.supplier
        left join told on told.supplier = listed.supplier
        where listed.place <= most),
    'next', (select max(key) filter (where place = asked.most) from page having count(*) > asked.most))
from asked
