-- Refuses void labels among the codes of the request $1: in "bar", "piece", "spoiled" (a list).
select refuse_void(given, place)
from (select 'bar' as place, $1::jsonb ->> 'bar' as given
      union all select 'piece', $1::jsonb ->> 'piece'
      union all select format('spoiled[%s]', place - 1), given
      from jsonb_array_elements_text(case jsonb_typeof($1::jsonb -> 'spoiled') when 'array' then $1::jsonb -> 'spoiled' else '[]' end)
           with ordinality as list (given, place)) as named
where given is not null
