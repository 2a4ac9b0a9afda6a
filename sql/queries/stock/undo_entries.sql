-- The counter-entries of the movement that $2 {"entry"} names in workshop $1: of a move both its ends. Refuses what was undone
-- before, what is undone in another way, and what would leave less than nothing.
-- -> [{"stock", "delta", "kind", "undoes"}, ..]
with named as materialized (
    select ledger.*, stock.part, stock.batch, part.unit, part.code
    from ledger join stock on stock.id = ledger.stock join part on part.id = stock.part
    where ledger.id = ($2::jsonb ->> 'entry')::bigint and stock.workshop = $1::integer
), other_end as materialized (
    select ledger.id, ledger.stock, ledger.delta, count(*) over () as times
    from named
    join ledger on ledger.kind = 'move' and named.kind = 'move' and ledger.request_id = named.request_id
               and ledger.key_name = named.key_name and ledger.delta = -named.delta and ledger.undoes is null
    join stock on stock.id = ledger.stock and stock.part = named.part and stock.batch = named.batch
    where not exists (select from ledger undone where undone.undoes = ledger.id)
), checked as materialized (
    select named.* from named
    where case
        when exists (select from ledger undone where undone.undoes = named.id) then refuse('already-undone', 'entry',
            format('Entry %s was undone by entry %s.', named.id, (select id from ledger undone where undone.undoes = named.id))) is not null
        when named.undoes is not null then refuse('cannot-undo', 'entry',
            format('Entry %s undoes entry %s itself; book the movement anew.', named.id, named.undoes)) is not null
        when named.kind in ('pick', 'put-back') then refuse('cannot-undo', 'entry',
            'It went into or out of a kit: use `ellwand kit put-back` or `ellwand kit pick`.') is not null
        when named.stock_take is not null then refuse('cannot-undo', 'entry',
            format('It was found by stock-take %s; count the bin again.', named.stock_take)) is not null
        when exists (select from purchase_receipt where purchase_receipt.ledger = named.id) then refuse('cannot-undo', 'entry',
            'It came in against a purchase, which counts on it; send the goods back with `ellwand stock adjust`.') is not null
        when named.kind = 'move' and (select count(*) from other_end) <> 1 then refuse('cannot-undo', 'entry',
            'Its request moved as much of this part twice, so its other end is not clear; move it back with `ellwand stock move`.') is not null
        else true end
), entry as materialized (
    select stock, -delta as delta, kind, id as undoes, unit from checked
    union all
    select other_end.stock, -other_end.delta, checked.kind, other_end.id, checked.unit from checked cross join other_end
)
select coalesce(jsonb_agg(jsonb_build_object('stock', entry.stock, 'delta', entry.delta, 'kind', entry.kind, 'undoes', entry.undoes)
                          order by entry.undoes), '[]')
from entry join stock on stock.id = entry.stock join bin on bin.id = stock.bin
where case when stock.on_hand + entry.delta < 0 then refuse('not-enough', 'entry',
               format('Bin %s holds %s now; %s cannot be taken back out of it.', bin.code, shown_words(entry.unit, stock.on_hand),
                      shown_words(entry.unit, -entry.delta))) is not null
           else true end
