-- The ledger entries of one pick: $2 {"part", "bin", "batch"?, "quantity"?} for the kit $3 of workshop $1, after it gave up
-- its reservations of that part ($4: what it had reserved in which bins, from kit/reserved). Lines of the kit and batches
-- of the bin are laid along one scale, and what overlaps is picked. Refuses a wrong kit, part, bin or quantity and says
-- what to do. -> [{"stock", "delta", "kind", "kit_line"}, ..]
with asked as materialized (
    select kit.id as kit, kit.state, job_order.number, job_order.state as order_state, part.id as part, part.name, part.unit,
           bin.id as bin, bin.code as bin_code, $2::jsonb ->> 'batch' as batch,
           counted(part.unit, ($2::jsonb ->> 'quantity')::numeric, 'quantity') as quantity,
           (select coalesce(sum(wanted - picked), 0) from kit_line where kit_line.kit = kit.id and kit_line.part = part.id) as still,
           (select coalesce(sum(picked), 0) from kit_line where kit_line.kit = kit.id and kit_line.part = part.id) as picked,
           exists (select from kit_line where kit_line.kit = kit.id and kit_line.part = part.id) as wanted,
           (select coalesce(sum(on_hand - reserved), 0) from stock
            where stock.part = part.id and stock.bin = bin.id
              and ($2::jsonb ->> 'batch' is null or stock.batch = $2::jsonb ->> 'batch')) as there,
           (select coalesce(sum((held ->> 'units')::bigint), 0) from jsonb_array_elements($4::jsonb) held
            where (held ->> 'bin')::bigint = bin.id) as own_there,
           (select string_agg(format('%s (%s)', place.code, shown_words(part.unit, place.units)), ', ' order by place.walk)
            from (select other.code, other.walk, sum(on_hand - reserved) as units
                  from stock join bin other on other.id = stock.bin
                  where stock.part = part.id and stock.on_hand > stock.reserved and stock.bin <> bin.id
                  group by other.id, other.code, other.walk) as place) as elsewhere
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    join part on part.id = need_part($1::integer, $2::jsonb ->> 'part', 'part')
    join bin on bin.id = need_bin($1::integer, $2::jsonb ->> 'bin', 'bin')
    where kit.id = $3::bigint
), pick as materialized (
    select asked.*, coalesce(quantity, least(still, case when own_there > 0 then own_there else there end)) as units
    from asked
), checked as materialized (
    select * from pick
    where case
        when order_state <> 'taken' then refuse('order-' || order_state, 'kit',
            format('Order %s is %s; nothing is picked for it now.', number, order_state)) is not null
        when state not in ('waiting', 'picking') then refuse('kit-' || state, 'kit',
            format('This kit is %s; nothing more is picked for it.', state)) is not null
        when not wanted then refuse('wrong-part', 'part',
            format('This kit has no %s; put it back. It still wants: %s.', name,
                   coalesce((select string_agg(distinct other.name, ', ')
                             from kit_line join part other on other.id = kit_line.part
                             where kit_line.kit = pick.kit and kit_line.picked < kit_line.wanted), 'nothing'))) is not null
        when still = 0 then refuse('already-picked', 'part',
            format('All %s of %s are in this kit already; put this back.', shown_words(unit, picked), name)) is not null
        when units > still then refuse('wrong-quantity', 'quantity',
            format('This kit wants %s more of %s, not %s.', shown_words(unit, still), name, shown_words(unit, units))) is not null
        when there = 0 then refuse('wrong-bin', 'bin',
            format('Bin %s has no %s for this kit. %s', bin_code, name,
                   coalesce('Go to ' || elsewhere || '.', 'None is free anywhere; it is short.'))) is not null
        when units > there then refuse('not-enough', 'quantity',
            format('Bin %s has %s of %s for this kit, not %s; pick that and the rest elsewhere%s.', bin_code,
                   shown_words(unit, there), name, shown_words(unit, units), coalesce(': ' || elsewhere, ''))) is not null
        when units <= 0 then refuse('wrong-quantity', 'quantity', 'Pick at least one.') is not null
        else true end
), line as (
    select kit_line.id, kit_line.wanted - kit_line.picked as units,
           sum(kit_line.wanted - kit_line.picked) over (order by kit_line.position) as upto
    from checked
    join kit_line on kit_line.kit = checked.kit and kit_line.part = checked.part
    where kit_line.picked < kit_line.wanted
), source as (
    select stock.id, stock.on_hand - stock.reserved as units,
           sum(stock.on_hand - stock.reserved) over (order by stock.batch, stock.id) as upto
    from checked
    join stock on stock.part = checked.part and stock.bin = checked.bin and (checked.batch is null or stock.batch = checked.batch)
    where stock.on_hand > stock.reserved
), share as (
    select source.id as stock, line.id as kit_line,
           least(line.upto, source.upto, checked.units) - greatest(line.upto - line.units, source.upto - source.units) as units
    from checked, line, source
)
select coalesce(jsonb_agg(jsonb_build_object('stock', stock, 'delta', -units, 'kind', 'pick', 'kit_line', kit_line)), '[]')
from share
where units > 0
