-- Whether anything has come in against purchase $1, and whether anything is still to come.
select exists (select from purchase_line where purchase = $1::bigint and received > 0) as some,
       exists (select from purchase_line where purchase = $1::bigint and received < quantity) as open
