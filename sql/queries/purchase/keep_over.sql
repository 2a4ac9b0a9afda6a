-- Lets more than was ordered come in on the lines of purchase $1 that the goods $2 [{"part"} | {"system", "finish", "length"}, ..]
-- are for (lengths in tenths), workshop $3.
update purchase_line set over = true
where purchase = $1::bigint and not over and exists (
    select from jsonb_to_recordset($2::jsonb) as goods (part text, system text, finish text, length bigint)
    where case when goods.part is null
               then (goods.system, goods.finish, goods.length) = (purchase_line.system, purchase_line.finish, purchase_line.length)
               else need_part($3::integer, goods.part, 'lines') = purchase_line.part end)
