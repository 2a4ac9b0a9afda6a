-- The stations of workshop $1: [code, ..]
select coalesce(jsonb_agg(code order by code), '[]') from station where workshop = $1::integer
