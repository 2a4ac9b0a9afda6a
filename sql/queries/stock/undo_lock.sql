-- Locks the part of the ledger entry that $2 {"entry"} names in workshop $1, with its substitutes (see reservation/lock).
-- -> [part id, ..]; null when there is no such entry
with locked as materialized (
    select part.id from part
    where part.id in (select with_substitutes(array(
        select stock.part from ledger join stock on stock.id = ledger.stock
        where ledger.id = ($2::jsonb ->> 'entry')::bigint and stock.workshop = $1::integer)))
    order by part.id for no key update
), turned as (
    update part set turn = turn + 1 from locked where part.id = locked.id returning part.id
)
select jsonb_agg(id order by id) from turned
