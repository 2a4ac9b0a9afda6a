-- The ledger entries that put parts of the kit $3 of workshop $1 back into the bins they came from: $2 {"part",
-- "quantity"?}; all of the part where no quantity is given. -> [{"stock", "delta", "kind", "kit_line"}, ..]
with asked as materialized (
    select kit.id as kit, kit.state, part.id as part, part.name, part.unit,
           counted(part.unit, ($2::jsonb ->> 'quantity')::numeric, 'quantity') as quantity,
           (select coalesce(-sum(ledger.delta), 0)
            from kit_line join ledger on ledger.kit_line = kit_line.id join stock on stock.id = ledger.stock
            where kit_line.kit = kit.id and stock.part = part.id) as picked
    from kit
    join part on part.id = need_part($1::integer, $2::jsonb ->> 'part', 'part')
    where kit.id = $3::bigint
), checked as materialized (
    select asked.*, coalesce(quantity, picked) as units from asked
    where case
        when state not in ('picking', 'complete') then refuse('kit-' || state, 'kit',
            case state when 'packed' then 'This kit is packed; unpack it first with `ellwand kit unpack`.'
                       else format('This kit is %s; nothing is put back from it.', state) end) is not null
        when picked = 0 then refuse('not-picked', 'part', format('This kit holds no %s.', name)) is not null
        when quantity > picked or quantity <= 0 then refuse('wrong-quantity', 'quantity',
            format('This kit holds %s of %s.', shown_words(unit, picked), name)) is not null
        else true end
), taken as (
    select ledger.stock, ledger.kit_line, -sum(ledger.delta) as units
    from checked
    join kit_line on kit_line.kit = checked.kit
    join ledger on ledger.kit_line = kit_line.id
    join stock on stock.id = ledger.stock and stock.part = checked.part
    group by ledger.stock, ledger.kit_line
    having sum(ledger.delta) < 0
), scale as (
    select taken.*, sum(units) over (order by kit_line desc, stock desc) as upto from taken
)
select coalesce(jsonb_agg(jsonb_build_object('stock', scale.stock, 'delta', least(scale.upto, checked.units) - (scale.upto - scale.units),
                                             'kind', 'put-back', 'kit_line', scale.kit_line)), '[]')
from scale, checked
where scale.upto - scale.units < checked.units
