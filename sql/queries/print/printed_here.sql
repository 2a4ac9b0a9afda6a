-- Whether some station of workshop $1 prints labels of the kind $2.
select to_jsonb(exists (select from station where workshop = $1::integer and $2 = any(kinds)))
