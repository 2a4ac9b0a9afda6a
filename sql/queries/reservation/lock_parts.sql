-- Locks parts and their substitutes, in the order of their ids (see reservation/lock).
-- $1 workshop, $2 [part id, ..] -> the ids of those that are there
with locked as materialized (
    select part.id
    from part
    where part.workshop = $1
      and part.id in (select with_substitutes(array(select value::bigint from jsonb_array_elements_text($2::jsonb))))
    order by part.id
    for no key update of part
), turned as (
    update part set turn = turn + 1 from locked where part.id = locked.id returning part.id
)
select coalesce(jsonb_agg(id order by id), '[]') from turned
