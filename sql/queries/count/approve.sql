-- The stock-takes $2 (an array of ids) of workshop $1 are approved.
update stock_take set state = 'approved'
where workshop = $1::integer and id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
