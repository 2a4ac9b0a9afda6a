-- Adds the lines $3 [{"part" | "system", "finish", "length" (tenths), "quantity", "price"?}] to purchase $2 of workshop $1; a
-- price that is not told is the catalogue's. -> how many; bars that the catalogue does not have are not among them
with given as materialized (
    select place, case when part is not null then need_part($1::integer, part, format('add[%s].part', place - 1)) end as part,
           system, finish, length, quantity, price
    from jsonb_array_elements($3::jsonb) with ordinality as list (item, place),
         jsonb_to_record(item) as line (part text, system text, finish text, length bigint, quantity numeric, price bigint)
), known as (
    select place, given.part, null as system, null as finish, null::bigint as length,
           counted(part.unit, quantity, format('add[%s].quantity', place - 1)) as quantity,
           coalesce(given.price, (part.data ->> 'price')::bigint) as price
    from given join part on part.id = given.part
    union all
    select place, null, given.system, given.finish, given.length, counted('each', quantity, format('add[%s].quantity', place - 1)),
           coalesce(given.price, bar_length.price)
    from given
    join system_finish on system_finish.workshop = $1::integer and (system_finish.system, system_finish.finish) = (given.system, given.finish)
    join bar_length on bar_length.workshop = $1::integer and (bar_length.system, bar_length.length) = (given.system, given.length)
    where given.part is null
), added as (
    insert into purchase_line (purchase, part, system, finish, length, quantity, price)
    select $2::bigint, part, system, finish, length, quantity, price from known order by place
    returning id
)
select to_jsonb(count(*)) from added
