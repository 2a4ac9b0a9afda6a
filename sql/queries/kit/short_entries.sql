-- The ledger entry of a short pick: $2 {"part", "bin", "batch"?, "found"} for the kit $3 of workshop $1 brings that batch in
-- that bin down to what was found. Refuses what is not set aside there for this kit, and what is not short.
-- -> [{"stock", "delta", "kind"}]
with asked as materialized (
    select kit.state, job_order.number, job_order.state as order_state, part.name, part.unit, bin.code as bin_code,
           counted(part.unit, ($2::jsonb ->> 'found')::numeric, 'found') as found,
           (select string_agg(coalesce(nullif(stock.batch, ''), 'none'), ', ' order by stock.batch) from stock
            where stock.id in (select stock from reservation join kit_line on kit_line.id = kit_line where kit_line.kit = kit.id)
              and stock.part = part.id and stock.bin = bin.id) as batches,
           place.id as stock, place.on_hand, place.times
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    join part on part.id = need_part($1::integer, $2::jsonb ->> 'part', 'part')
    join bin on bin.id = need_bin($1::integer, $2::jsonb ->> 'bin', 'bin')
    left join lateral (
        select stock.id, stock.on_hand, count(*) over () as times
        from stock
        where stock.part = part.id and stock.bin = bin.id and stock.batch = coalesce($2::jsonb ->> 'batch', stock.batch)
          and exists (select from reservation join kit_line on kit_line.id = reservation.kit_line
                      where reservation.stock = stock.id and kit_line.kit = kit.id)
        order by stock.id limit 1
    ) as place on true
    where kit.id = $3::bigint
)
select jsonb_agg(jsonb_build_object('stock', stock, 'delta', found - on_hand, 'kind', 'adjustment'))
from asked
where case
    when order_state <> 'taken' then refuse('order-' || order_state, 'kit',
        format('Order %s is %s; nothing is picked for it now.', number, order_state)) is not null
    when state not in ('waiting', 'picking') then refuse('kit-' || state, 'kit',
        format('This kit is %s; nothing more is picked for it.', state)) is not null
    when stock is null and batches is not null then refuse('wrong-batch', 'batch',
        format('Of %s in bin %s batch %s is set aside for this kit; name that.', name, bin_code, batches)) is not null
    when stock is null then refuse('wrong-bin', 'bin',
        format('Nothing of %s in bin %s is set aside for this kit; `ellwand kit show` gives its walk. To correct stock use '
               '`ellwand stock adjust`.', name, bin_code)) is not null
    when times > 1 then refuse('wrong-batch', 'batch',
        format('Batches %s are set aside for this kit in bin %s; say which of them is short.', batches, bin_code)) is not null
    when found >= on_hand then refuse('not-short', 'found',
        format('The books have %s in bin %s, no more than you found: nothing is short.', shown_words(unit, on_hand), bin_code)) is not null
    else true end
