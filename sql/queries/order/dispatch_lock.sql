-- Locks the order that $2 {"order": number} names in workshop $1, then its kits. -> its id
select to_jsonb(locked.id)
from (select job_order.id
      from job_order
      join job_window on job_window.job_order = job_order.id
      join kit on kit.job_window = job_window.id
      where job_order.workshop = $1::integer
        and (job_order.number = $2::jsonb ->> 'order' or job_order.id = scanned('O', $2::jsonb ->> 'order'))
      order by kit.id
      for no key update of job_order, kit) as locked
limit 1
