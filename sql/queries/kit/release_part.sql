-- Gives up what kit $3 of workshop $1 has reserved under the part that $2 {"part"} names, so that what it picks next is free
-- to it. -> number
with given_up as (
    delete from reservation
    using kit_line, stock
    where reservation.kit_line = kit_line.id and kit_line.kit = $3::bigint and stock.id = reservation.stock
      and stock.part = need_part($1::integer, $2::jsonb ->> 'part', 'part')
    returning reservation.id
)
select to_jsonb(count(*)) from given_up
