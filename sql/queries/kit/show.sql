-- Kits of workshop $1 with all that is in them, and the walk through the bins that picks them in one go: $2 {"kits": [..]}
-- -> {"kits": [{.., pieces: [..], lines: [..]}], "walk": [{bin, part, replaces?, .., quantity, kit}],
-- "stops": [{bin, part, replaces?, .., quantity, split: [{kit, order, window, quantity}]}], "short": [{part, .., kit}]}
with named as materialized (
    select need_kit($1::integer, given, format('kits[%s]', place - 1)) as id, min(place) as place
    from jsonb_array_elements_text($2::jsonb -> 'kits') with ordinality as list (given, place)
    group by 1
), chosen as (
    select kit.id, kit.job_window, kit.corded, kit.state, named.place, spelled_code('K', kit.id, coalesce(issue.asked, 0)) as code,
           job_order.number, job_order.customer, job_order.due, job_window.name, job_window.room, job_window.system, job_window.finish
    from named
    join kit on kit.id = named.id
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    left join label_issue issue on issue.letter = 'K' and issue.subject = kit.id
), line as (
    select chosen.place, chosen.code, chosen.number, chosen.name as window_name, kit_line.*, part.code as part_code,
           part.name as part_name, part.unit,
           (select json_agg(other.code order by may.place) from kit_line_substitute may join part other on other.id = may.part
            where may.kit_line = kit_line.id) as substitutes,
           (select json_agg(json_build_object('part', other.code, 'name', other.name,
                                                'reserved', shown(part.unit, used.reserved),
                                                'picked', shown(part.unit, used.picked)) order by may.place)
            from kit_line_substitute may
            join part other on other.id = may.part
            cross join lateral (
                select (select coalesce(sum(quantity), 0) from reservation join stock on stock.id = reservation.stock
                        where reservation.kit_line = kit_line.id and stock.part = may.part) as reserved,
                       (select coalesce(-sum(delta), 0) from ledger join stock on stock.id = ledger.stock
                        where ledger.kit_line = kit_line.id and stock.part = may.part) as picked) as used
            where may.kit_line = kit_line.id and (used.reserved > 0 or used.picked > 0)) as instead
    from chosen
    join kit_line on kit_line.kit = chosen.id
    join part on part.id = kit_line.part
), lines as (
    select line.kit, json_agg(json_strip_nulls(json_build_object(
               'part', part_code, 'name', part_name, 'unit', unit, 'role', role, 'why', why,
               'wanted', shown(unit, wanted), 'picked', shown(unit, picked), 'reserved', shown(unit, reserved),
               'short', shown(unit, wanted - picked - reserved), 'substitutes', substitutes, 'instead', instead))
               order by position) as listed
    from line group by line.kit
), walk as (
    select bin.walk, bin.id, bin.code as bin_code, stock.batch, stock.part, taken.code as part_code, taken.name as part_name,
           spelled_code('L', bin.id, coalesce(bin_issue.asked, 0)) as bin_scan,
           spelled_code('T', stock.part, coalesce(part_issue.asked, 0)) as part_scan, line.unit,
           case when stock.part <> line.part then line.part_code end as replaces, line.place, line.code, line.number,
           line.window_name, sum(reservation.quantity) as units
    from line
    -- one by one: of the many places there are, few are on the walk
    cross join lateral (select * from reservation where reservation.kit_line = line.id offset 0) as reservation
    cross join lateral (select * from stock where stock.id = reservation.stock offset 0) as stock
    join bin on bin.id = stock.bin
    join part taken on taken.id = stock.part
    left join label_issue bin_issue on bin_issue.letter = 'L' and bin_issue.subject = bin.id
    left join label_issue part_issue on part_issue.letter = 'T' and part_issue.subject = stock.part
    group by bin.walk, bin.id, bin.code, bin_issue.asked, part_issue.asked, stock.batch, stock.part, taken.code, taken.name, line.unit, replaces, line.place,
             line.code, line.number, line.window_name
), stop as (
    -- what several kits want out of one place is taken at once and shared out
    select walk, id, bin_code, batch, part, part_code, part_name, min(bin_scan) as bin_scan, min(part_scan) as part_scan,
           replaces, unit, sum(units) as units,
           json_agg(json_build_object('kit', code, 'order', number, 'window', window_name, 'quantity', shown(unit, units)) order by place) as split
    from walk
    group by walk, id, bin_code, batch, part, part_code, part_name, replaces, unit
)
select json_build_object(
    'kits', (select json_agg(json_build_object(
        'kit', code, 'order', number, 'customer', customer, 'due', due, 'window', name, 'room', room, 'system', system,
        'finish', finish, 'corded', corded, 'state', state,
        'pieces', (select coalesce(json_agg(json_build_object(
                       'code', spelled_code('P', piece.id, coalesce(issue.asked, 0)), 'piece', piece.number, 'of', piece.of, 'side', piece.side,
                       'length', mm(piece.length), 'state', piece.state) order by piece.number), '[]')
                   from piece left join label_issue issue on issue.letter = 'P' and issue.subject = piece.id
                   where piece.job_window = chosen.job_window),
        'lines', coalesce((select listed from lines where lines.kit = chosen.id), '[]')) order by place) from chosen),
    'walk', (select coalesce(json_agg(json_strip_nulls(json_build_object(
        'bin', bin_code, 'code', bin_scan, 'part', part_code, 'part_code', part_scan, 'name', part_name,
        'replaces', replaces, 'unit', unit, 'batch', nullif(batch, ''), 'quantity', shown(unit, units), 'kit', code, 'order', number,
        'window', window_name))
        order by walk, id, part_code, batch, place), '[]') from walk),
    'stops', (select coalesce(json_agg(json_strip_nulls(json_build_object(
        'bin', bin_code, 'code', bin_scan, 'part', part_code, 'part_code', part_scan, 'name', part_name,
        'replaces', replaces, 'unit', unit, 'batch', nullif(batch, ''), 'quantity', shown(unit, units), 'split', split))
        order by walk, id, part_code, batch), '[]') from stop),
    'short', (select coalesce(json_agg(json_build_object(
        'part', part_code, 'name', part_name, 'unit', unit, 'quantity', shown(unit, wanted - picked - reserved),
        'kit', code, 'order', number, 'window', window_name) order by part_code, place), '[]')
        from line where wanted > picked + reserved))
