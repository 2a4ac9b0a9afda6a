-- Stores finishes and track systems of the catalogue document $2 for workshop $1; $3 has the bars in tenths of a
-- millimetre: [{"system", "length", "price", "terms": as the document has them}, ..]. What is not in them goes. -> number of systems
with finish_given as (
    select item ->> 'code' as code, place, item
    from jsonb_array_elements($2::jsonb -> 'finishes') with ordinality as list (item, place)
), system_given as (
    select item ->> 'code' as code, item ->> 'name' as name, (item ->> 'corded')::boolean as corded, place, item
    from jsonb_array_elements($2::jsonb -> 'systems') with ordinality as list (item, place)
), pair as (
    select distinct system_given.code as system, finish
    from system_given, jsonb_array_elements_text(item -> 'finishes') as finish
), finish_kept as (
    insert into finish (workshop, code, position, data)
    select $1::integer, code, place, item from finish_given
    on conflict (workshop, code) do update set position = excluded.position, data = excluded.data
    returning code
), system_kept as (
    insert into track_system (workshop, code, name, corded, position, data)
    select $1::integer, code, name, corded, place, item from system_given
    on conflict (workshop, code) do update
        set name = excluded.name, corded = excluded.corded, position = excluded.position, data = excluded.data
    returning code
), pair_kept as (
    insert into system_finish (workshop, system, finish)
    select $1::integer, system, finish from pair
    on conflict do nothing
), bar_kept as (
    insert into bar_length (workshop, system, length, price, terms)
    select $1::integer, bar.system, bar.length, bar.price, bar.terms
    from jsonb_to_recordset($3::jsonb) as bar (system text, length bigint, price bigint, terms jsonb)
    on conflict (workshop, system, length) do update set price = excluded.price, terms = excluded.terms
), bar_gone as (
    delete from bar_length
    where workshop = $1::integer
      and (system, length) not in (select bar.system, bar.length
                                   from jsonb_to_recordset($3::jsonb) as bar (system text, length bigint))
), pair_gone as (
    delete from system_finish
    where workshop = $1::integer and (system, finish) not in (select system, finish from pair)
), system_gone as (
    delete from track_system where workshop = $1::integer and code not in (select code from system_given)
), finish_gone as (
    delete from finish where workshop = $1::integer and code not in (select code from finish_given)
)
select to_jsonb(count(*)) from system_kept
