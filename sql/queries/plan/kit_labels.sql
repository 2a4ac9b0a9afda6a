-- The labels of the kits that go with the pieces of plan $1 and have no label yet, as they come along the saw's sequence:
-- [{subject, payload}, ..]. Each part stands with the bin that holds most of what is reserved for it. Of the take-off's
-- cautions, those that whoever opens the bag must know.
with kits as (
    select kit.id, min(plan_bar.sequence) as sequence
    from plan_bar join piece on piece.plan_bar = plan_bar.id join kit on kit.job_window = piece.job_window
    where plan_bar.plan = $1::bigint and plan_bar.state = 'released' and kit.state in ('waiting', 'picking', 'complete')
      and not exists (select from label where label.workshop = kit.workshop and label.kind = 'kit' and label.subject = kit.id)
    group by kit.id
), lines as (
    select kit_line.kit, json_agg(json_strip_nulls(json_build_object(
               'name', part.name, 'unit', part.unit,
               'quantity', case part.unit when 'length' then mm(kit_line.wanted) else kit_line.wanted end,
               'bin', (select bin.code from reservation join stock on stock.id = reservation.stock join bin on bin.id = stock.bin
                       where reservation.kit_line = kit_line.id order by quantity desc, bin.walk limit 1)))
           order by kit_line.position) as parts
    from kits join kit_line on kit_line.kit = kits.id join part on part.id = kit_line.part
    group by kit_line.kit
)
select coalesce(json_agg(json_build_object('subject', kits.id, 'payload', json_strip_nulls(json_build_object(
           'code', spelled_code('K', kits.id, coalesce(issue.asked, 0)), 'order', job_order.number, 'window', job_window.name,
           'room', nullif(job_window.room, ''), 'system', job_window.system, 'finish', job_window.finish,
           'corded', job_window.corded, 'cautions', (
               select json_agg(advice -> 'message' order by rank)
               from jsonb_array_elements(job_window.takeoff -> 'advice') as list (advice),
                    array_position(array['drill-near-service', 'cord-in-reach', 'two-people', 'plugs-may-not-suit'],
                                   advice ->> 'code') as rank
               where rank is not null),
           'due', job_order.due, 'parts', coalesce(lines.parts, '[]'))))
           order by kits.sequence, kits.id), '[]')
from kits join kit on kit.id = kits.id join job_window on job_window.id = kit.job_window
join job_order on job_order.id = job_window.job_order left join lines on lines.kit = kits.id
left join label_issue issue on issue.letter = 'K' and issue.subject = kits.id
