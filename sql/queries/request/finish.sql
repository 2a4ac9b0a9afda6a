-- Stores the answer $4 (JSON) of request $3 of key $2 in workshop $1.
update request_log set reply = $4::jsonb where workshop = $1::integer and key_name = $2 and request_id = $3
