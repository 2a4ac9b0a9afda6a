-- After reservation/reserve and its substitutes: kits that nobody has begun give back substitutes of the parts $2 (all locked
-- before) where their own part came in for the whole line (migration 0171). What they give back is free for another round.
-- $1 workshop, $2 [part id, ..] -> [{order, window, part, instead, name, unit, quantity}, ..], of the substitute that was given back
select coalesce(jsonb_agg(jsonb_build_object(
           'order', job_order.number, 'window', job_window.name, 'part', part.code, 'instead', other.code, 'name', other.name,
           'unit', part.unit, 'quantity', shown(part.unit, back.quantity))
           order by job_order.due, job_order.priority desc, job_order.id, job_window.position, line.position), '[]')
from return_to_first($1, array(select value::bigint from jsonb_array_elements_text($2::jsonb))) as back
join kit_line line on line.id = back.kit_line
join kit on kit.id = line.kit
join job_window on job_window.id = kit.job_window
join job_order on job_order.id = job_window.job_order
join part on part.id = line.part
join part other on other.id = back.instead
