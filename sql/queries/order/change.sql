-- Changes what order $1 says of itself to what $2 {customer?, due?, priority?, notes?, unit?} gives. -> of the fields that are other now,
-- {"due": [before, after], ..}
with before as (
    select customer, due, priority, notes, unit from job_order where id = $1::bigint
), changed as (
    update job_order set customer = coalesce(given.customer, job_order.customer), due = coalesce(given.due, job_order.due),
        priority = coalesce(given.priority, job_order.priority), notes = coalesce(given.notes, job_order.notes),
        unit = coalesce(given.unit, job_order.unit)
    from jsonb_to_record($2::jsonb) given (customer text, due date, priority integer, notes text, unit text)
    where id = $1::bigint
    returning job_order.customer, job_order.due, job_order.priority, job_order.notes, job_order.unit
)
select coalesce(jsonb_object_agg(old.key, jsonb_build_array(old.value, new.value)) filter (where old.value <> new.value), '{}')
from before, changed, jsonb_each(to_jsonb(before)) old join jsonb_each(to_jsonb(changed)) new on new.key = old.key
