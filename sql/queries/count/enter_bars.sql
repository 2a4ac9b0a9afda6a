-- What was found at the place of the rack of stock-take $3 of workshop $1, in its round $4: $2 the labels' ids, $5 what has no
-- label, [{"system", "finish", "length" (tenths), "batch", "squared"}, ..]. What was found before is not found again.
-- -> number of new ones
with labelled as materialized (
    select bar.id
    from jsonb_array_elements_text($2::jsonb) as given (id)
    left join bar on bar.workshop = $1::integer and bar.id = given.id::bigint
    where case when bar.id is null then refuse('not-found', 'bars', format('There is no bar or offcut %s here.', given.id)) is not null
               when bar.state = 'cut' then refuse('bar-cut', 'bars', format(
                   '%s was cut: what lies there is something else. Take its label off, measure it and enter it without one.',
                   scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id))) is not null
               else true end
), entered as (
    insert into stock_count_bar (stock_take, round, bar)
    select distinct $3::bigint, $4::integer, id from labelled
    on conflict (stock_take, bar) do nothing
    returning id
), loose as (
    insert into stock_count_bar (stock_take, round, system, finish, length, batch, squared)
    select $3::bigint, $4::integer, given.system, given.finish, given.length, given.batch, given.squared
    from jsonb_to_recordset($5::jsonb) as given (system text, finish text, length bigint, batch text, squared boolean)
    where exists (select from system_finish where system_finish.workshop = $1::integer and system_finish.system = given.system
                                              and system_finish.finish = given.finish)
       or refuse('unknown-system', 'loose', format('The catalogue has no system %s in the finish %s.', given.system, given.finish)) is not null
    returning id
)
select to_jsonb((select count(*) from entered) + (select count(*) from loose))
