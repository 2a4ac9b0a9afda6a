-- Takes the order document $2 (order, customer, due, priority, notes, unit) into workshop $1. No row: the number is taken.
insert into job_order (workshop, number, customer, due, priority, notes, unit, state)
select $1::integer, given.order, given.customer, given.due, given.priority, coalesce(given.notes, ''), coalesce(given.unit, 'mm'), 'taken'
from jsonb_to_record($2::jsonb) given ("order" text, customer text, due date, priority integer, notes text, unit text)
on conflict (workshop, number) do nothing
returning id
