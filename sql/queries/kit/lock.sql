-- Locks the order and then the kit that $2 {"kit"} names in workshop $1, so that the statements after it see the kit as it
-- is and nobody else changes it. -> {"kit": id, "order": id}
select jsonb_build_object('kit', kit.id, 'order', job_order.id)
from job_order
join job_window on job_window.job_order = job_order.id
join kit on kit.job_window = job_window.id
where kit.id = need_kit($1::integer, $2::jsonb ->> 'kit', 'kit')
for no key update of job_order, kit
