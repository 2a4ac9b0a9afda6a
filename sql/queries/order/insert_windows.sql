-- Gives order $2 of workshop $1 its windows $4 (an array of {position, window, room, system, finish, corded, survey,
-- takeoff}, made with catalogue version $3), with their pieces, kits and kit lines as the take-off counts them, and what may
-- stand in for a part. Parts are looked up one by one: of many a take-off names few.
-- Answers the number of windows and of parts that the catalogue does not know.
with given as (
    select * from jsonb_to_recordset($4::jsonb)
        given (position integer, "window" text, room text, system text, finish text, corded boolean, survey jsonb, takeoff jsonb)
), windows as (
    insert into job_window (workshop, job_order, position, name, room, system, finish, corded, survey, takeoff, catalogue_version)
    select $1::integer, $2::bigint, position, given.window, coalesce(room, ''), system, finish, corded, survey, takeoff, $3::integer
    from given
    returning id, system, finish, corded, takeoff
), pieces as (
    insert into piece (workshop, job_window, number, of, side, system, finish, length, state)
    select $1::integer, windows.id, piece.piece, piece.of, piece.side, system, finish, tenths(piece.length), 'waiting'
    from windows, jsonb_to_recordset(takeoff -> 'pieces') piece (piece integer, of integer, side text, length numeric)
    order by windows.id, piece.piece
), kits as (
    insert into kit (workshop, job_window, corded, state)
    select $1::integer, id, corded, 'waiting' from windows order by id
    returning id, job_window
), wanted as (
    select kits.id as kit, line.part, coalesce(line.role, '') as role, min(ordinality) as first,
           sum(case line.unit when 'length' then tenths(line.quantity) else line.quantity::bigint end) as quantity,
           string_agg(distinct line.why, '; ') as why, min(line.substitutes::text)::jsonb as substitutes
    from kits join windows on windows.id = kits.job_window,
         rows from (jsonb_to_recordset(takeoff -> 'parts') as (part text, unit text, role text, quantity numeric, why text, substitutes jsonb))
             with ordinality line
    group by kits.id, line.part, coalesce(line.role, '')
), lines as (
    insert into kit_line (kit, position, part, role, wanted, why)
    select kit, row_number() over (partition by kit order by first), part.id, role, quantity, coalesce(why, '')
    from wanted cross join lateral (select id from part where workshop = $1::integer and code = wanted.part offset 0) as part
    where quantity > 0
    returning id, kit, part, role
), instead as (
    insert into kit_line_substitute (kit_line, place, part)
    select lines.id, other.place, stands_in.id
    from wanted
    cross join lateral (select id from part where workshop = $1::integer and code = wanted.part offset 0) as part
    join lines on lines.kit = wanted.kit and lines.part = part.id and lines.role = wanted.role,
         jsonb_array_elements_text(wanted.substitutes) with ordinality as other (code, place)
    cross join lateral (select id from part where workshop = $1::integer and code = other.code offset 0) as stands_in
)
select (select count(*) from given) as windows,
       (select string_agg(distinct wanted.part, ', ') from wanted
        where (select id from part where workshop = $1::integer and code = wanted.part) is null) as unknown_parts
