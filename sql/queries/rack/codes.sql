-- The scan codes of the offcuts $2 (an array of ids): {id: code}; for a page of a list, since spelling thousands takes its time.
-- $1 is the workshop.
select coalesce(jsonb_object_agg(id, scan_code('F', id)), '{}')
from bar where workshop = $1::integer and id in (select value::bigint from jsonb_array_elements_text($2::jsonb))
