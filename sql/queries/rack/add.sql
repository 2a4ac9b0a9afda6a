-- Puts $2 {system, finish, length (tenths), count, batch, place, kind, squared} on the rack of workshop $1: bars come
-- bought, offcuts were found. Answers the rows made, as an array.
with given as (
    select * from jsonb_to_record($2::jsonb)
        given (system text, finish text, length bigint, count integer, batch text, place text, kind text, squared boolean)
), made as (
    insert into bar (workshop, kind, system, finish, length, batch, place, squared, origin, state)
    select $1::integer, kind, system, finish, length, coalesce(batch, ''), coalesce(place, ''), coalesce(squared, false),
           case kind when 'bar' then 'bought' else 'found' end, 'on-rack'
    from given, generate_series(1, given.count)
    returning id, kind
)
select jsonb_agg(jsonb_build_object('bar', id, 'code', scan_code(case kind when 'bar' then 'B' else 'F' end, id)) order by id)
from made
