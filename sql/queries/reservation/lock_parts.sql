-- Locks parts, in the order of their ids (see reservation/lock).
-- $1 workshop, $2 [part id, ..] -> the ids of those that are there
select coalesce(jsonb_agg(locked.id order by locked.id), '[]')
from (select part.id
      from part
      where part.workshop = $1
        and part.id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
      order by part.id
      for no key update of part) as locked
