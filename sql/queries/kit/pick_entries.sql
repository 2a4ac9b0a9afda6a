-- The ledger entries of one pick: $2 {"part", "bin", "batch"?, "quantity"?} for the kit $3 of workshop $1, after it gave up
-- its reservations of that part ($4: what it had reserved where, from kit/reserved; also in the place of another part).
-- Lines of the kit and batches of the bin are laid along one scale, and what overlaps is picked; a part by length in one
-- length from one reel (migration 0071). Refuses a wrong kit, part, bin, batch or quantity and says what to do. -> [{"stock", "delta", "kind", "kit_line"}, ..]
with held as materialized (
    select bin, batch, kit_line, units
    from jsonb_to_recordset($4::jsonb) as given (bin bigint, batch text, kit_line bigint, units bigint)
), named as materialized (
    select kit.id as kit, kit.state, job_order.number, job_order.state as order_state, part.id as part, part.name, part.unit,
           bin.id as bin, bin.code as bin_code, $2::jsonb ->> 'batch' as batch,
           counted(part.unit, ($2::jsonb ->> 'quantity')::numeric, 'quantity') as quantity,
           (select string_agg(distinct coalesce(nullif(batch, ''), 'none'), ', ') from held where held.bin = bin.id) as own_batches,
           (select coalesce(sum(units), 0) from held
            where held.bin = bin.id and batch = coalesce($2::jsonb ->> 'batch', batch)) as own_there
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    join part on part.id = need_part($1::integer, $2::jsonb ->> 'part', 'part')
    join bin on bin.id = need_bin($1::integer, $2::jsonb ->> 'bin', 'bin')
    where kit.id = $3::bigint
), line as materialized (
    -- what the kit wants of the part itself, and what the part was set aside for in another's place
    select kit_line.id, kit_line.position, kit_line.wanted - kit_line.picked as units
    from named join kit_line on kit_line.kit = named.kit and kit_line.part = named.part
    where kit_line.picked < kit_line.wanted
    union all
    select kit_line.id, kit_line.position, sum(held.units)
    from named join held on true join kit_line on kit_line.id = held.kit_line and kit_line.part <> named.part
    group by kit_line.id
), source as materialized (
    -- where the bin holds several batches and none is named, the one that was set aside
    select stock.id, stock.batch, stock.on_hand - stock.reserved as units
    from named
    join stock on stock.part = named.part and stock.bin = named.bin and stock.on_hand > stock.reserved
    where case when named.batch is not null then stock.batch = named.batch
               when named.own_there > 0 then stock.batch in (select batch from held where held.bin = named.bin)
               else true end
), asked as materialized (
    select named.*, (select coalesce(sum(units), 0) from line) as still,
           (select coalesce(-sum(ledger.delta), 0)
            from kit_line join ledger on ledger.kit_line = kit_line.id join stock on stock.id = ledger.stock
            where kit_line.kit = named.kit and stock.part = named.part) as picked,
           exists (select from kit_line where kit_line.kit = named.kit and kit_line.part = named.part) as wanted,
           (select coalesce(case named.unit when 'length' then max(units) else sum(units) end, 0) from source) as there,
           (select count(*) from source) as batches,
           (select string_agg(coalesce(nullif(stock.batch, ''), 'none'), ', ' order by stock.batch) from stock
            where stock.part = named.part and stock.bin = named.bin and stock.on_hand > stock.reserved) as bin_batches,
           (select string_agg(format('%s (%s)', place.code, shown_words(named.unit, place.units)), ', ' order by place.walk)
            from (select other.code, other.walk,
                         case named.unit when 'length' then max(on_hand - reserved) else sum(on_hand - reserved) end as units
                  from stock join bin other on other.id = stock.bin
                  where stock.part = named.part and stock.on_hand > stock.reserved and stock.bin <> named.bin
                  group by other.id, other.code, other.walk) as place) as elsewhere
    from named
), pick as materialized (
    select asked.*, coalesce(quantity, case when unit = 'length' and there > 0 then still
                                            else least(still, case when own_there > 0 then own_there else there end) end) as units
    from asked
), checked as materialized (
    select * from pick
    where case
        when order_state <> 'taken' then refuse('order-' || order_state, 'kit',
            format('Order %s is %s; nothing is picked for it now.', number, order_state)) is not null
        when state not in ('waiting', 'picking') then refuse('kit-' || state, 'kit',
            format('This kit is %s; nothing more is picked for it.', state)) is not null
        when still = 0 and not wanted and picked = 0 then refuse('wrong-part', 'part',
            format('This kit has no %s; put it back. It still wants: %s.', name,
                   coalesce((select string_agg(distinct other.name, ', ')
                             from kit_line join part other on other.id = kit_line.part
                             where kit_line.kit = pick.kit and kit_line.picked < kit_line.wanted), 'nothing'))) is not null
        when still = 0 then refuse('already-picked', 'part',
            format('All %s of %s are in this kit already; put this back.', shown_words(unit, picked), name)) is not null
        when units > still then refuse('wrong-quantity', 'quantity',
            format('This kit wants %s more of %s, not %s.', shown_words(unit, still), name, shown_words(unit, units))) is not null
        when batch is not null and own_there = 0 and own_batches is not null then refuse('wrong-batch', 'batch',
            format('Batch %s is not the one set aside for this kit; take batch %s of bin %s. If that is not there, say so with '
                   '`ellwand kit short`.', coalesce(nullif(batch, ''), 'none'), own_batches, bin_code)) is not null
        when batch is not null and there = 0 and bin_batches is not null then refuse('wrong-batch', 'batch',
            format('Bin %s has no batch %s of %s for this kit; it has batch %s.', bin_code, coalesce(nullif(batch, ''), 'none'), name,
                   bin_batches)) is not null
        when batch is null and own_there = 0 and batches > 1 then refuse('wrong-batch', 'batch',
            format('Bin %s holds batches %s of %s; say which of them you take.', bin_code, bin_batches, name)) is not null
        when there = 0 then refuse('wrong-bin', 'bin',
            format('Bin %s has no %s for this kit. %s', bin_code, name,
                   coalesce('Go to ' || elsewhere || '.', 'None is free anywhere; it is short.'))) is not null
        when unit = 'length' and units < still then refuse('wrong-quantity', 'quantity',
            format('%s is cut in one length: take all %s from one reel.', name, shown_words(unit, still))) is not null
        when unit = 'length' and units > there then refuse('not-enough', 'quantity',
            format('No reel in bin %s has %s of %s left for this kit; the longest has %s. It is cut in one length%s.', bin_code,
                   shown_words(unit, units), name, shown_words(unit, there),
                   coalesce(': look in ' || elsewhere, ''))) is not null
        when units > there then refuse('not-enough', 'quantity',
            format('Bin %s has %s of %s for this kit, not %s; pick that and the rest elsewhere%s.', bin_code,
                   shown_words(unit, there), name, shown_words(unit, units), coalesce(': ' || elsewhere, ''))) is not null
        when units <= 0 then refuse('wrong-quantity', 'quantity', 'Pick at least one.') is not null
        else true end
), line_scale as (
    select line.*, sum(units) over (order by position, id) as upto from line
), source_scale as (
    select source.*, sum(source.units) over (order by source.batch, source.id) as upto
    from source, checked
    where checked.unit = 'each' or source.id = (select reel.id from source reel where reel.units >= checked.units
                                                order by reel.units, reel.batch, reel.id limit 1)
), share as (
    select source.id as stock, line.id as kit_line,
           least(line.upto, source.upto, checked.units) - greatest(line.upto - line.units, source.upto - source.units) as units
    from checked, line_scale as line, source_scale as source
)
select coalesce(jsonb_agg(jsonb_build_object('stock', stock, 'delta', -units, 'kind', 'pick', 'kit_line', kit_line)), '[]')
from share
where units > 0
