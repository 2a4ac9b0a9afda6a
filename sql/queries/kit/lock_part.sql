-- Locks the part that $2 {"part"} names in workshop $1 (see reservation/lock). -> [part id]
with named as materialized (select need_part($1::integer, $2::jsonb ->> 'part', 'part') as id)
select jsonb_agg(locked.id)
from (select part.id from part where id = (select id from named) for no key update) as locked
