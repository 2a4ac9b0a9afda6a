-- The stored answer of request $3 of key $2 in workshop $1: whether it was the same verb $4 and body text $5, and the reply.
select verb = $4 and body_hash = encode(sha256(convert_to($5, 'UTF8')), 'hex') as same, reply
from request_log where workshop = $1::integer and key_name = $2 and request_id = $3
