-- Gives up what kit $3 of workshop $1 has reserved under the part that $2 {"part"} names, so that what it picks next is free
-- to it; and what it has of others in that part's place, which the pick of the part itself may make too much. What it still
-- wants afterwards is reserved again. -> number
with named as (
    select need_part($1::integer, $2::jsonb ->> 'part', 'part') as part
), given_up as (
    delete from reservation
    using named, kit_line, stock
    where reservation.kit_line = kit_line.id and kit_line.kit = $3::bigint and stock.id = reservation.stock
      and named.part in (stock.part, kit_line.part)
    returning reservation.id
)
select to_jsonb(count(*)) from given_up
