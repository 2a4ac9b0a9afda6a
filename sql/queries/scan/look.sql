-- What a scanned code stands for in workshop $1, how it stands, and what can be done with it now: $2 {"kind": "piece", ..,
-- "id", "code"}. -> {kind, code, name, state?, .., can: [{verb, say}]}, and of a void label {void: the given code, say}, whose
-- "code" is the one that took its place; no row for what is not there
with asked as materialized (
    select $2::jsonb ->> 'kind' as kind, ($2::jsonb ->> 'id')::bigint as id,
           coalesce(replaced_by($2::jsonb ->> 'code'), $2::jsonb ->> 'code') as code
), found as (
    select asked.code, 'piece' as kind, piece.state,
        jsonb_build_object('name', format('Piece %s of %s, %s mm', piece.number, piece.of, mm(piece.length)),
            'order', job_order.number, 'window', job_window.name, 'room', job_window.room, 'system', piece.system,
            'finish', piece.finish, 'length', mm(piece.length), 'kit', scan_code('K', kit.id), 'plan', plan_bar.plan,
            'bar', scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id)) as more
    from asked
    join piece on asked.kind = 'piece' and piece.id = asked.id and piece.workshop = $1::integer
    join job_window on job_window.id = piece.job_window
    join job_order on job_order.id = job_window.job_order
    left join kit on kit.job_window = job_window.id
    left join plan_bar on plan_bar.id = piece.plan_bar
    left join bar on bar.id = plan_bar.bar
    union all
    select asked.code, 'kit', kit.state,
        jsonb_build_object('name', format('Kit of order %s, window %s', job_order.number, job_window.name),
            'order', job_order.number, 'window', job_window.name, 'room', job_window.room, 'corded', kit.corded,
            'left', (select count(*) from kit_line where kit_line.kit = kit.id and picked < wanted),
            'pieces_left', (select count(*) from piece where piece.job_window = kit.job_window
                                                        and piece.state not in ('matched', 'dispatched', 'cancelled')))
    from asked
    join kit on asked.kind = 'kit' and kit.id = asked.id and kit.workshop = $1::integer
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    union all
    select asked.code, asked.kind, bar.state,
        jsonb_build_object('name', format('%s of %s in %s, %s mm', initcap(bar.kind), bar.system, bar.finish, mm(bar.length)),
            'system', bar.system, 'finish', bar.finish, 'length', mm(bar.length), 'batch', bar.batch, 'place', bar.place,
            'origin', bar.origin, 'arrived_at', bar.arrived_at,
            'plan', (select plan from plan_bar where plan_bar.bar = bar.id and state in ('planned', 'released')))
    from asked
    join bar on asked.kind in ('bar', 'offcut') and bar.kind = asked.kind and bar.id = asked.id and bar.workshop = $1::integer
    union all
    select asked.code, 'bin', null,
        jsonb_build_object('name', format('Bin %s', bin.code), 'bin', bin.code, 'walk', bin.walk,
            'parts', (select coalesce(jsonb_agg(jsonb_build_object('part', part.code, 'name', part.name, 'unit', part.unit,
                          'batch', stock.batch, 'on_hand', shown(part.unit, stock.on_hand),
                          'reserved', shown(part.unit, stock.reserved)) order by part.code, stock.batch), '[]')
                      from stock join part on part.id = stock.part where stock.bin = bin.id and stock.on_hand > 0))
    from asked
    join bin on asked.kind = 'place' and bin.id = asked.id and bin.workshop = $1::integer
    union all
    select asked.code, 'part', null,
        jsonb_build_object('name', part.name, 'part', part.code, 'unit', part.unit,
            'bins', (select coalesce(jsonb_agg(jsonb_build_object('bin', bin.code, 'batch', stock.batch,
                         'on_hand', shown(part.unit, on_hand), 'reserved', shown(part.unit, reserved)) order by bin.walk, bin.id), '[]')
                     from stock join bin on bin.id = stock.bin where stock.part = part.id and stock.on_hand > 0))
    from asked
    join part on asked.kind = 'part' and part.id = asked.id and part.workshop = $1::integer
    union all
    select asked.code, 'order', job_order.state,
        jsonb_build_object('name', format('Order %s for %s', job_order.number, job_order.customer), 'order', job_order.number,
            'customer', job_order.customer, 'due', job_order.due,
            'kits', (select coalesce(jsonb_agg(jsonb_build_object('kit', scan_code('K', kit.id), 'window', job_window.name,
                         'state', kit.state) order by job_window.position), '[]')
                     from job_window join kit on kit.job_window = job_window.id where job_window.job_order = job_order.id))
    from asked
    join job_order on asked.kind = 'order' and job_order.id = asked.id and job_order.workshop = $1::integer
    union all
    select asked.code, 'parcel', parcel.state,
        jsonb_build_object('name', format('Parcel %s of %s of order %s', parcel.number, parcel.of, job_order.number),
            'order', job_order.number, 'customer', job_order.customer, 'carrier', nullif(parcel.carrier, ''),
            'wrap', nullif(parcel.wrap_name, ''), 'mass', parcel.mass)
    from asked
    join parcel on asked.kind = 'parcel' and parcel.id = asked.id and parcel.workshop = $1::integer
    join job_order on job_order.id = parcel.job_order
    union all
    select asked.code, 'window', job_order.state,
        jsonb_build_object('name', format('Window %s of order %s', job_window.name, job_order.number), 'order', job_order.number,
            'window', job_window.name, 'room', job_window.room, 'system', job_window.system, 'finish', job_window.finish,
            'kit', (select scan_code('K', kit.id) from kit where kit.job_window = job_window.id))
    from asked
    join job_window on asked.kind = 'window' and job_window.id = asked.id and job_window.workshop = $1::integer
    join job_order on job_order.id = job_window.job_order
), can (kind, state, verb, say) as (values
    ('piece', 'waiting', 'plan.make', 'It waits for a cutting plan: make one.'),
    ('piece', 'planned', 'plan.release', 'Release its plan to the saw.'),
    ('piece', 'released', 'bar.cut', 'Cut it and confirm its bar.'),
    ('piece', 'cut', 'kit.match', 'Put it to its kit and scan both.'),
    ('piece', 'cut', 'piece.recut', 'Have it cut again when it is spoiled or lost.'),
    ('piece', 'matched', 'kit.unmatch', 'Take it away from its kit.'),
    ('kit', 'waiting', 'kit.pick', 'Pick its parts.'),
    ('kit', 'picking', 'kit.pick', 'Pick the rest of its parts.'),
    ('kit', 'picking', 'kit.put-back', 'Put parts back.'),
    ('kit', 'complete', 'kit.match', 'Put its cut pieces to it.'),
    ('kit', 'complete', 'kit.pack', 'Pack it when all its pieces are matched.'),
    ('kit', 'complete', 'kit.put-back', 'Put parts back.'),
    ('kit', 'packed', 'order.dispatch', 'Dispatch the order when all its kits are packed.'),
    ('kit', 'packed', 'kit.unpack', 'Open it again.'),
    ('bar', 'on-rack', 'rack.write-off', 'Write it off when it is lost or damaged.'),
    ('bar', 'bound', 'bar.cut', 'Cut it as its plan says, and confirm it.'),
    ('offcut', 'on-rack', 'rack.write-off', 'Write it off when it is lost or damaged.'),
    ('offcut', 'bound', 'bar.cut', 'Cut it as its plan says, and confirm it.'),
    ('bin', null, 'stock.receive', 'Book in what comes.'),
    ('bin', null, 'stock.move', 'Move what lies in it to another bin.'),
    ('bin', null, 'stock.list', 'See all stock.'),
    ('part', null, 'stock.ledger', 'See what came and went of it.'),
    ('part', null, 'stock.receive', 'Book in what comes.'),
    ('order', 'taken', 'order.show', 'See how its pieces and kits stand.'),
    ('order', 'held', 'order.resume', 'Let it go on.'),
    ('order', 'packed', 'order.dispatch', 'Dispatch it.'),
    ('parcel', 'packed', 'parcel.send', 'Give it to its carrier.'),
    ('window', 'taken', 'order.show', 'See how its order stands.'),
    ('window', 'held', 'order.resume', 'Let its order go on.'),
    ('window', 'packed', 'order.dispatch', 'Dispatch its order.')
)
select jsonb_strip_nulls(jsonb_build_object('kind', found.kind, 'code', found.code, 'state', found.state,
        'can', (select coalesce(jsonb_agg(jsonb_build_object('verb', can.verb, 'say', can.say)), '[]')
                from can where can.kind = found.kind and can.state is not distinct from found.state and found.code = $2::jsonb ->> 'code'),
        'void', nullif($2::jsonb ->> 'code', found.code),
        'say', case when found.code <> $2::jsonb ->> 'code'
                    then format('This label is void: it was printed again as %s. Throw it away.', found.code) end) || found.more)
from found
