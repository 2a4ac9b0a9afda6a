-- Invariant 3: in workshop $1 a bar or offcut is in at most one live plan and a piece on at most one bar; pieces, bars,
-- their places in a plan and the plan agree; a reservation belongs to the line of an open kit and, as what was picked for it, to that
-- line's part or one that may stand in for it.
-- -> {"checked": bars of plans, pieces and reservations, "findings": [{subject, message}]}
with used as (
    select plan_bar.id, plan_bar.plan, plan_bar.bar, plan_bar.state, plan_bar.sequence, bar.state as bar_state, plan.state as plan_state,
           bar.system = plan.system and bar.finish = plan.finish and bar.workshop = plan.workshop as alike, plan.system, plan.finish,
           scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id) as code
    from plan_bar join bar on bar.id = plan_bar.bar join plan on plan.id = plan_bar.plan
    where plan_bar.workshop = $1::integer
), finding as (
    select min(code) as subject, format('It is in %s live plans: %s.', count(*), string_agg(plan::text, ', ')) as message
    from used where state in ('planned', 'released') group by bar having count(*) > 1
    union all
    select min(code), format('It was cut in %s plans: %s.', count(*), string_agg(plan::text, ', '))
    from used where state = 'cut' group by bar having count(*) > 1
    union all
    select code, format('It is %s, but plan %s has it as %s.', bar_state, plan, state)
    from used
    where case state when 'planned' then bar_state <> 'on-rack' when 'released' then bar_state <> 'bound'
                     when 'cut' then bar_state <> 'cut' else false end
    union all
    select format('plan %s', plan), format('It is %s, but its bar %s is %s.', plan_state, code, state)
    from used
    where state <> all (case plan_state when 'ready' then array['planned'] when 'released' then array['released', 'cut', 'dropped']
                                        when 'done' then array['cut', 'dropped'] when 'dropped' then array['dropped'] else array[]::text[] end)
    union all
    select code, format('It is not of the system and finish of plan %s.', plan) from used where not alike
    union all
    select scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id), format('It is %s, but no plan has it so.', bar.state)
    from bar
    where bar.workshop = $1::integer and bar.state in ('bound', 'cut')
      and not exists (select from used where used.bar = bar.id and used.state = case bar.state when 'bound' then 'released' else 'cut' end)
    union all
    select scan_code('P', piece.id), format('It is %s, but its bar of plan %s is %s.', piece.state, used.plan, used.state)
    from piece join used on used.id = piece.plan_bar
    where piece.state <> all (case used.state when 'planned' then array['planned'] when 'released' then array['released']
                                              when 'cut' then array['cut', 'matched', 'dispatched', 'cancelled'] else array[]::text[] end)
    union all
    select scan_code('P', piece.id), format('It is %s, but on no bar of a plan.', piece.state)
    from piece
    where piece.workshop = $1::integer and piece.plan_bar is null and piece.state in ('planned', 'released', 'cut', 'matched', 'dispatched')
    union all
    select scan_code('P', piece.id), 'It is not of the system and finish of the bar it is cut from.'
    from piece join used on used.id = piece.plan_bar
    where piece.system <> used.system or piece.finish <> used.finish
    union all
    select format('plan %s, bar %s', used.plan, used.sequence), format('Two pieces have place %s.', piece.sequence)
    from piece join used on used.id = piece.plan_bar
    group by used.plan, used.sequence, piece.sequence having count(*) > 1
    union all
    select scan_code('K', kit.id), format('It is %s, but still has %s reservations.', kit.state, count(*))
    from reservation join kit_line on kit_line.id = reservation.kit_line join kit on kit.id = kit_line.kit
    where kit.workshop = $1::integer and kit.state not in ('waiting', 'picking')
    group by kit.id having count(*) > 0
    union all
    select scan_code('K', kit_line.kit), format('A reservation of %s is of another part or workshop.', part.name)
    from reservation
    join stock on stock.id = reservation.stock
    join kit_line on kit_line.id = reservation.kit_line
    join kit on kit.id = kit_line.kit
    join part on part.id = stock.part
    where kit.workshop = $1::integer and (stock.workshop <> kit.workshop or (stock.part <> kit_line.part
          and not exists (select from kit_line_substitute may where may.kit_line = kit_line.id and may.part = stock.part)))
    union all
    select scan_code('K', kit_line.kit), format('It holds %s, which neither its parts list nor a substitute on it names.', part.name)
    from ledger
    join stock on stock.id = ledger.stock
    join kit_line on kit_line.id = ledger.kit_line
    join kit on kit.id = kit_line.kit
    join part on part.id = stock.part
    where kit.workshop = $1::integer and stock.part <> kit_line.part
      and not exists (select from kit_line_substitute may where may.kit_line = kit_line.id and may.part = stock.part)
    group by kit_line.kit, part.id having sum(ledger.delta) <> 0
)
select jsonb_build_object(
    'checked', (select count(*) from used) + (select count(*) from piece where workshop = $1::integer)
             + (select count(*) from reservation join stock on stock.id = reservation.stock where stock.workshop = $1::integer),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
