-- The name of the enabled key of workshop $1 whose public half is $2 (Z85).
select name from client_key where workshop = $1::integer and public_key = $2 and enabled
