-- The bins of workshop $1 in the order of the walk, with how many parts each holds. $2 is not looked at.
select jsonb_build_object('bins', coalesce(jsonb_agg(jsonb_build_object(
    'bin', bin.code, 'walk', bin.walk, 'code', scan_code('L', bin.id),
    'parts', (select count(distinct part) from stock where stock.bin = bin.id and on_hand > 0)) order by walk, bin.id), '[]'))
from bin
where workshop = $1::integer and $2::jsonb is not null
