-- The labels of the bars and offcuts $2 (an array of ids) of workshop $1 that are of the kind $3: [{subject, payload}, ..].
select coalesce(jsonb_agg(jsonb_build_object('subject', id, 'payload', jsonb_strip_nulls(jsonb_build_object(
    'code', scan_code(case kind when 'bar' then 'B' else 'F' end, id), 'length', mm(length), 'system', system,
    'finish', finish, 'batch', nullif(batch, ''), 'place', nullif(place, ''), 'date', (arrived_at at time zone 'UTC')::date,
    'squared', case kind when 'offcut' then squared end))) order by id), '[]')
from bar
where workshop = $1::integer and kind = $3 and id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
