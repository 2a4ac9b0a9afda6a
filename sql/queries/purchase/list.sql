-- The purchases of workshop $1, newest first: $2 {state?, open?, before?, limit?}; "next" is the "before" of the page after.
with given as (
    select * from jsonb_to_record($2::jsonb) given (state text, open boolean, before bigint, "limit" integer)
), page as (
    select purchase.* from purchase, given
    where purchase.workshop = $1::integer and (given.state is null or purchase.state = given.state)
      and (given.open is not true or purchase.state in ('proposed', 'ordered'))
      and (given.before is null or purchase.id < given.before)
    order by purchase.id desc limit (select coalesce("limit", 100) from given)
), told as (
    select page.*, lines.*
    from page, lateral (
        select count(*) as lines, count(*) filter (where received < quantity) as lines_open,
               coalesce(sum(case part.unit when 'length' then round(price * quantity / 10000.0) else price * quantity end), 0)::bigint as cost
        from purchase_line left join part on part.id = purchase_line.part
        where purchase_line.purchase = page.id) lines
)
select jsonb_build_object('purchases', coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object(
        'purchase', id, 'supplier', nullif(supplier, ''), 'state', state, 'made_at', made_at, 'ordered_at', ordered_at,
        'expected', expected, 'late', state = 'ordered' and expected < (now() at time zone 'UTC')::date,
        'lines', lines, 'lines_open', case when state in ('proposed', 'ordered') then lines_open else 0 end, 'cost', cost))
        order by id desc), '[]'),
    'next', case when count(*) = (select coalesce("limit", 100) from given) then min(id) end)
from told
