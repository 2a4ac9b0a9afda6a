-- Stores the parts of the catalogue document $2 for workshop $1. A part that is not in it stays for its history, but is
-- no longer current. Which parts stand in for which is kept for good (migration 0090). -> number of parts
with given as (
    select item ->> 'code' as code, item ->> 'name' as name, item ->> 'unit' as unit, place, item
    from jsonb_array_elements($2::jsonb -> 'parts') with ordinality as list (item, place)
), kept as (
    insert into part (workshop, code, name, unit, position, data)
    select $1::integer, code, name, unit, place, item from given
    on conflict (workshop, code) do update
        set name = excluded.name, unit = excluded.unit, position = excluded.position, data = excluded.data, current = true
    returning id, code
), pair as (
    insert into substitute (first, instead)
    select first.id, instead.id
    from given
    join kept as first on first.code = given.code,
         jsonb_array_elements(given.item -> 'substitutes') as other
    join kept as instead on instead.code = other ->> 'part'
    on conflict do nothing
), retired as (
    update part set current = false
    where workshop = $1::integer and current and code not in (select code from given)
    returning id
)
select to_jsonb(count(*)) from kept
