-- Gives up what kit $1 has reserved of the parts $2 [id, ..], so that what it picks next is free to it. -> number
with given_up as (
    delete from reservation
    using kit_line
    where reservation.kit_line = kit_line.id and kit_line.kit = $1::bigint
      and kit_line.part in (select value::bigint from jsonb_array_elements_text($2::jsonb))
    returning reservation.id
)
select to_jsonb(count(*)) from given_up
