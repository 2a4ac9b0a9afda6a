-- Claims the request $3 of key $2 in workshop $1 for verb $4 with the body text $5. No row: it was claimed before, and its
-- transaction has been committed (a concurrent one is waited for).
insert into request_log (workshop, key_name, request_id, verb, body_hash)
values ($1::integer, $2, $3, $4, encode(sha256(convert_to($5, 'UTF8')), 'hex'))
on conflict do nothing
returning 1
