-- What was used against what the take-off said, in workshop $1. $2 {"weeks"? (= 13): the last so many, "after"?: key, "limit"?}. Parts:
-- what left in dispatched kits, and what stock lost by corrections meanwhile; track: good pieces, and what was mis-cut or cut again.
-- -> {"since", "rows": [{kind, code, name, unit, kits?, told, used, lost, over, share?}], "next"}. over = used + lost - told.
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, coalesce($2::jsonb ->> 'after', '') as after,
           week_of(now()) - 7 * (coalesce(($2::jsonb ->> 'weeks')::integer, 13) - 1) as since
), sent as (
    select sent_week.part, sum(kits) as kits, sum(told) as told, sum(used) as used
    from asked join part on part.workshop = $1::integer join sent_week on sent_week.part = part.id and week >= asked.since
    group by sent_week.part
), lost as (
    select part_week.part, -sum(adjusted) as lost
    from asked join part on part.workshop = $1::integer join part_week on part_week.part = part.id and week >= asked.since and adjusted <> 0
    group by part_week.part having sum(adjusted) <> 0
), line as (
    select ('1 ' || part.code) collate "C" as key, 'part' as kind, part.code, part.name, part.unit, sent.kits, coalesce(told, 0) as told,
           coalesce(used, 0) as used, coalesce(lost, 0) as lost
    from sent full join lost using (part) join part on part.id = coalesce(sent.part, lost.part)
    union all
    select format('2 %s %s', system, finish), 'track', format('%s %s', system, finish), 'track', 'length', null,
           sum(pieces_length - recut_length), sum(pieces_length), sum(waste_length)
    from asked join cut_week on cut_week.workshop = $1::integer and week >= asked.since group by system, finish
), page as (
    select line.*, row_number() over (order by key) as place from line, asked where key > asked.after order by key
    limit (select most + 1 from asked)
)
select jsonb_build_object('since', asked.since,
    'rows', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object('kind', kind, 'code', code, 'name', name, 'unit', unit, 'kits', kits,
                 'told', shown(unit, told), 'used', shown(unit, used), 'lost', shown(unit, lost), 'over', shown(unit, used + lost - told),
                 'share', round((used + lost - told)::numeric / nullif(told, 0), 4))) order by place), '[]')
             from page where place <= most),
    'next', (select max(key) filter (where place = asked.most) from page having count(*) > asked.most))
from asked
