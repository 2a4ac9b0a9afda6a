-- Makes bins of workshop $1 or changes their place along the walk: $2 {"bins": [{"code", "walk"}]}
-- -> {"bins": [{code, walk, scan}]}
with kept as (
    insert into bin (workshop, code, walk)
    select distinct on (given.code) $1::integer, given.code, given.walk
    from jsonb_to_recordset($2::jsonb -> 'bins') as given (code text, walk integer)
    order by given.code
    on conflict (workshop, code) do update set walk = excluded.walk
    returning id, code, walk
)
select jsonb_build_object('bins', coalesce(jsonb_agg(jsonb_build_object(
    'bin', code, 'walk', walk, 'code', scan_code('L', id)) order by walk, code), '[]'))
from kept
