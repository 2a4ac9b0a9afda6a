-- Stores saws and label stocks of the catalogue document $2 for workshop $1; $3 has their lengths in tenths of a
-- millimetre: {"saws": [{"code", "kerf", "lead_trim", "tail_clamp", "longest_bar"}], "label_stocks": [{"code", "width",
-- "height"}]}. A saw that is not in it stays for old plans; a label stock goes. -> number of saws
with saw_kept as (
    insert into saw (workshop, code, name, kerf, lead_trim, tail_clamp, longest_bar, position, data)
    select $1::integer, length.code, item ->> 'name', length.kerf, length.lead_trim, length.tail_clamp,
           length.longest_bar, place, item
    from jsonb_array_elements($2::jsonb -> 'saws') with ordinality as list (item, place)
    join jsonb_to_recordset($3::jsonb -> 'saws')
         as length (code text, kerf bigint, lead_trim bigint, tail_clamp bigint, longest_bar bigint)
      on length.code = item ->> 'code'
    on conflict (workshop, code) do update
        set name = excluded.name, kerf = excluded.kerf, lead_trim = excluded.lead_trim, tail_clamp = excluded.tail_clamp,
            longest_bar = excluded.longest_bar, position = excluded.position, data = excluded.data, current = true
    returning code
), saw_retired as (
    update saw set current = false
    where workshop = $1::integer and current
      and code not in (select item ->> 'code' from jsonb_array_elements($2::jsonb -> 'saws') item)
), stock_kept as (
    insert into label_stock (workshop, code, width, height, position, data)
    select $1::integer, length.code, length.width, length.height, place, item
    from jsonb_array_elements($2::jsonb -> 'label_stocks') with ordinality as list (item, place)
    join jsonb_to_recordset($3::jsonb -> 'label_stocks') as length (code text, width bigint, height bigint)
      on length.code = item ->> 'code'
    on conflict (workshop, code) do update
        set width = excluded.width, height = excluded.height, position = excluded.position, data = excluded.data
), stock_gone as (
    delete from label_stock
    where workshop = $1::integer
      and code not in (select item ->> 'code' from jsonb_array_elements($2::jsonb -> 'label_stocks') item)
)
select to_jsonb(count(*)) from saw_kept
