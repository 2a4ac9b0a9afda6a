-- Locks the part that $2 {"part"} names in workshop $1, with its substitutes, in the order of their ids (see
-- reservation/lock). -> [part id, ..]
select hold_parts(array[need_part($1::integer, $2::jsonb ->> 'part', 'part')])
