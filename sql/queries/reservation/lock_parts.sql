-- Locks parts and their substitutes, in the order of their ids (see reservation/lock).
-- $1 workshop, $2 [part id, ..] -> the ids of those that are there
select hold_parts(array(
    select part.id from part
    where part.workshop = $1 and part.id = any (array(select value::bigint from jsonb_array_elements_text($2::jsonb)))))
