-- Takes the lines $2 (an array of ids) off purchase $1. -> how many there were
with dropped as (
    delete from purchase_line
    where purchase = $1::bigint and id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
    returning id
)
select to_jsonb(count(*)) from dropped
