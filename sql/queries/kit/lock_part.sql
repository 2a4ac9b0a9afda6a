-- Locks the part that $2 {"part"} names in workshop $1 (see reservation/lock). -> [part id]
with named as materialized (
    select need_part($1::integer, $2::jsonb ->> 'part', 'part') as id
), turned as (
    update part set turn = turn + 1 from named where part.id = named.id returning part.id
)
select jsonb_agg(id) from turned
