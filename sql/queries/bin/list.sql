-- The bins of workshop $1 in the order of the walk, with how many parts each holds. $2 is not looked at.
-- -> {"bins": [{bin, walk, code, parts}]}
with holding as (
    select stock.bin, count(distinct stock.part) as parts
    from stock
    where stock.workshop = $1::integer and stock.on_hand > 0
    group by stock.bin
)
select jsonb_build_object('bins', coalesce(jsonb_agg(jsonb_build_object(
    'bin', bin.code, 'walk', bin.walk, 'code', scan_code('L', bin.id), 'parts', coalesce(holding.parts, 0))
    order by bin.walk, bin.id), '[]'))
from bin
left join holding on holding.bin = bin.id
where bin.workshop = $1::integer and $2::jsonb is not null
