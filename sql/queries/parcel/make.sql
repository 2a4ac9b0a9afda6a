-- Closes the parcels $3 [{number, of, carrier, wrap, wrap_name, mass, outside, girth, things: [{piece | kit}]}] of order $2 of
-- workshop $1. -> number of parcels
with made as (
    insert into parcel (workshop, job_order, number, of, carrier, wrap, wrap_name, mass, outside, girth, state)
    select $1::integer, $2::bigint, number, of, carrier, wrap, wrap_name, mass, outside, girth, 'packed'
    from jsonb_to_recordset($3::jsonb) as given (number integer, of integer, carrier text, wrap text, wrap_name text, mass bigint,
                                                 outside bigint, girth bigint)
    order by number
    returning id, number
), filled as (
    insert into parcel_thing (parcel, piece, kit)
    select made.id, thing.piece, thing.kit
    from jsonb_to_recordset($3::jsonb) as given (number integer, things jsonb)
    join made on made.number = given.number,
         jsonb_to_recordset(given.things) as thing (piece bigint, kit bigint)
    returning parcel
)
select to_jsonb(count(distinct parcel)) from filled
