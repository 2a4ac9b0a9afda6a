-- Invariant 9: every approved stock-take of workshop $1 is booked as it was counted, and by nobody who counted it himself;
-- nothing is booked of any other. -> {"checked": stock-takes, "findings": [{subject, message}]}
with take as (
    select * from stock_take where workshop = $1::integer
), line as (
    select line.*, take.state, take.bin from take join stock_take_line line on line.stock_take = take.id
), booked as (
    select line.stock_take, line.code, line.unit, line.state, line.difference, coalesce(sum(ledger.delta), 0) as delta
    from line
    left join stock on stock.part = line.part and stock.bin = line.bin and stock.batch = line.batch
    left join ledger on ledger.stock = stock.id and ledger.stock_take = line.stock_take
    group by line.stock_take, line.id, line.code, line.unit, line.state, line.difference
), finding as (
    select format('stock-take %s', stock_take) as subject,
           format('%s differed by %s, but %s is booked.', code, shown_words(unit, difference), shown_words(unit, delta)) as message
    from booked where delta <> case state when 'approved' then difference else 0 end
    union all
    select format('stock-take %s', ledger.stock_take), format('Entry %s of the ledger names it, but it counted no such part there.', ledger.id)
    from ledger join take on take.id = ledger.stock_take join stock on stock.id = ledger.stock
    where not exists (select from line where line.stock_take = take.id and line.part = stock.part and line.batch = stock.batch
                                         and line.bin = stock.bin)
    union all
    select format('stock-take %s', take.id), format('%s counted it and approved it.', history.key_name)
    from take
    join history on history.kind = 'stock-take' and history.subject = take.id and history.to_state = 'approved'
    where exists (select from stock_count where stock_take = take.id and stock_count.key_name = history.key_name
                  union all
                  select from stock_count_bar where stock_take = take.id and stock_count_bar.key_name = history.key_name)
    union all
    select format('stock-take %s', take.id), format('%s was not found by it, but is on the rack where it was sought.',
                                                    scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id))
    from take
    join stock_take_missing missing on missing.stock_take = take.id
    join bar on bar.id = missing.bar and bar.state = 'on-rack' and bar.place = take.rack_place
    where take.state = 'approved'
      and not exists (select from history where kind = 'bar' and subject = bar.id and to_state = 'on-rack' and history.at >= take.counted_at)
      and not exists (select from stock_count_bar found join stock_take later on later.id = found.stock_take
                      where found.bar = bar.id and later.state = 'approved' and later.id <> take.id)
)
select jsonb_build_object('checked', (select count(*) from take),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
