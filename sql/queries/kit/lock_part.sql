-- Locks the part that $2 {"part"} names in workshop $1, with its substitutes, in the order of their ids (see
-- reservation/lock). -> [part id, ..]
with locked as materialized (
    select id from part
    where id in (select with_substitutes(array[need_part($1::integer, $2::jsonb ->> 'part', 'part')]))
    order by id for no key update
), turned as (
    update part set turn = turn + 1 from locked where part.id = locked.id returning part.id
)
select jsonb_agg(id order by id) from turned
