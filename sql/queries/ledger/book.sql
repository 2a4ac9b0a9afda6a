-- Writes ledger entries; stock on hand and what kits have picked follow by themselves.
-- $1 [{"stock", "delta", "kind", "kit_line"?, "stock_take"?, "undoes"?}, ..] -> number of entries
with booked as (
    insert into ledger (stock, delta, kind, kit_line, stock_take, undoes)
    select entry.stock, entry.delta, entry.kind, entry.kit_line, entry.stock_take, entry.undoes
    from jsonb_to_recordset($1::jsonb) as entry (stock bigint, delta bigint, kind text, kit_line bigint, stock_take bigint,
                                                   undoes bigint)
    order by entry.stock, entry.delta desc, entry.kit_line
    returning id
)
select to_jsonb(count(*)) from booked
