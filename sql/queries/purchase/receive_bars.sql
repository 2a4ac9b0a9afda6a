-- Books the bars $2 [{"bar"}, ..] that were put on the rack as come in against purchase $1. -> how many it has a line for
with received as (
    insert into purchase_receipt (line, quantity, bar)
    select line.id, 1, bar.id
    from jsonb_to_recordset($2::jsonb) as added (bar bigint)
    join bar on bar.id = added.bar
    join purchase_line line on line.purchase = $1::bigint
        and (line.system, line.finish, line.length) = (bar.system, bar.finish, bar.length)
    order by bar.id
    returning id
)
select to_jsonb(count(*)) from received
