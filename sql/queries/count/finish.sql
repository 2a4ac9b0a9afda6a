-- Ends the count of the open stock-take $1, or asks for another round where it is the first and differs much. Refuses to end
-- while something is still to be counted. -> {"stock_take", "state", "round", "recount": [{part, name, batch}, ..] | true}
with take as materialized (
    select * from stock_take where id = $1::bigint
), book as (
    -- what a first round counts: all that the books have there; a later one what is told to be counted again
    select stock.part, stock.batch from take join stock on stock.bin = take.bin and stock.on_hand > 0 where take.asks = 'all'
    union
    select line.part, line.batch
    from take join stock_take_line line on line.stock_take = take.id and line.round < take.round
    where case take.asks when 'different' then line.difference <> 0 when 'large' then line.large end
), missing as (
    select part.code, part.name, book.batch
    from take cross join book join part on part.id = book.part
    where not exists (select from stock_count done where done.stock_take = take.id and done.round = take.round
                                                     and done.part = book.part and done.batch = book.batch)
), checked as materialized (
    select take.* from take
    where case when exists (select from missing) then refuse('not-counted', 'lines', format(
                   'Still to be counted: %s. Enter 0 for what is not there.',
                   (select string_agg(code || case batch when '' then '' else ' batch ' || batch end, ', ' order by code, batch)
                    from (select * from missing order by code, batch limit 10) as first_ten))) is not null
               else true end
), again as (
    select line.code, line.name, line.batch from checked join stock_take_line line on line.stock_take = checked.id
    where checked.round = 1 and line.large
), absent as (
    select bar.id
    from checked join bar on bar.workshop = checked.workshop and bar.place = checked.rack_place and bar.state = 'on-rack'
    where not exists (select from stock_count_bar found where found.stock_take = checked.id and found.bar = bar.id)
), noted as (
    insert into stock_take_missing (stock_take, bar) select checked.id, absent.id from checked cross join absent
    where checked.round > 1
), changed as (
    update stock_take
    set state = case when more.again then 'open' else 'counted' end, round = stock_take.round + case when more.again then 1 else 0 end,
        asks = case when more.again then 'large' else stock_take.asks end,
        counted_at = case when more.again then null else now() end
    from checked, (select exists (select from again)
                       or exists (select from absent cross join checked where checked.round = 1) as again) as more
    where stock_take.id = checked.id
    returning stock_take.id, stock_take.state, stock_take.round
)
select jsonb_build_object('stock_take', id, 'state', state, 'round', round, 'recount', case
    when state <> 'open' then '[]'::jsonb
    when exists (select from again)
        then (select jsonb_agg(jsonb_build_object('part', code, 'name', name, 'batch', batch) order by code, batch) from again)
    else 'true'::jsonb end)
from changed
