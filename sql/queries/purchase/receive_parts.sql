-- Books the ledger entries $2 [{"stock", "delta", "kind"}, ..] as come in against purchase $1. -> {"entries": n, "foreign": codes
-- of parts that it has no line for (nothing is booked for them)}
with entry as materialized (
    select entry.stock, entry.delta, entry.kind, stock.part, line.id as line
    from jsonb_to_recordset($2::jsonb) as entry (stock bigint, delta bigint, kind text)
    join stock on stock.id = entry.stock
    left join purchase_line line on line.purchase = $1::bigint and line.part = stock.part
), booked as (
    insert into ledger (stock, delta, kind)
    select stock, delta, kind from entry where line is not null order by stock, delta desc
    returning id, stock, delta
), received as (
    insert into purchase_receipt (line, quantity, ledger)
    select distinct entry.line, booked.delta, booked.id from booked join entry using (stock) order by booked.id
    returning id
)
select jsonb_build_object('entries', (select count(*) from received), 'foreign',
    (select coalesce(jsonb_agg(distinct part.code), '[]') from entry join part on part.id = entry.part where line is null))
