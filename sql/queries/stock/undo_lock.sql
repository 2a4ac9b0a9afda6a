-- Locks the part of the ledger entry that $2 {"entry"} names in workshop $1, with its substitutes (see reservation/lock).
-- -> [part id, ..]; null when there is no such entry
select nullif(hold_parts(array(
    select stock.part from ledger join stock on stock.id = ledger.stock
    where ledger.id = ($2::jsonb ->> 'entry')::bigint and stock.workshop = $1::integer)), '[]')
