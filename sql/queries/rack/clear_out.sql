-- What the offcuts of workshop $1 are weighed by, for each system and finish that has any on the rack (not in a plan). $2 {"system"?,
-- "finish"?}. -> {"places", "taken": by offcuts, "groups": [{system, finish, kerf (tenths, of the widest saw), usable, value_share,
-- yield, weeks: of history, at most 52, pieces: [[length, paired, number]] cut in them, offcuts: [{bar, length, usable: less a
-- trim still to be cut off (tenths), value, batch, place, days, mates: more of its batch lies there}]}]}
with asked as (
    select $2::jsonb ->> 'system' as system, $2::jsonb ->> 'finish' as finish, (now() at time zone 'UTC')::date as today,
           month_of(now() - interval '364 days') as since
), tool as (
    select coalesce(max(kerf), 0) as kerf, coalesce(max(lead_trim), 0) as trim from saw where workshop = $1::integer and current
), offcut as materialized (
    select rack_now.*, asked.today - (arrived_at at time zone 'UTC')::date as days
    from asked join rack_now on rack_now.workshop = $1::integer and kind = 'offcut' and state = 'on-rack'
        and (asked.system is null or rack_now.system = asked.system) and (asked.finish is null or rack_now.finish = asked.finish)
    where not exists (select from plan_bar where plan_bar.bar = rack_now.id and plan_bar.state in ('planned', 'released'))
), batch as (
    select system, finish, batch, count(*) as lie from rack_now where workshop = $1::integer and batch <> '' group by system, finish, batch
), cut as (
    select system, finish, jsonb_agg(jsonb_build_array(length, paired, pieces)) as pieces
    from (select piece_month.system, piece_month.finish, length, paired, sum(pieces) as pieces
          from asked join piece_month on piece_month.workshop = $1::integer and month >= asked.since
          group by piece_month.system, piece_month.finish, length, paired having sum(pieces) > 0) as of_length
    group by system, finish
), span as (
    select system, finish, least(52, greatest(0, (week_of(now()) - min(week)) / 7)) as weeks
    from cut_week where workshop = $1::integer group by system, finish
), reached as (
    select cut_week.system, cut_week.finish,
           sum(pieces_length)::numeric / nullif(sum(bars_length + offcuts_length + correction - kept_length), 0) as yield
    from asked join cut_week on cut_week.workshop = $1::integer and week >= asked.since group by cut_week.system, cut_week.finish
), grouped as (
    select offcut.system, offcut.finish, jsonb_agg(jsonb_build_object(
               'bar', offcut.id, 'length', mm(offcut.length),
               'usable', greatest(0, offcut.length - case when squared then 0 else tool.trim end), 'value', coalesce(value, 0),
               'batch', nullif(offcut.batch, ''), 'place', nullif(place, ''), 'days', days, 'mates', coalesce(batch.lie, 0) > 1)
               order by offcut.id) as offcuts
    from offcut cross join tool left join batch using (system, finish, batch) group by offcut.system, offcut.finish
)
select jsonb_build_object(
    'places', rack_places, 'taken', (select count(*) from rack_now where rack_now.workshop = $1::integer and kind = 'offcut'),
    'groups', (select coalesce(jsonb_agg(jsonb_build_object('system', system, 'finish', finish, 'kerf', tool.kerf,
                   'usable', greatest(1, workshop.usable_remainder), 'value_share', workshop.remainder_value_percent / 100.0,
                   'yield', coalesce(round(least(1, greatest(0.1, reached.yield)), 4), 1), 'weeks', coalesce(span.weeks, 0),
                   'pieces', coalesce(cut.pieces, '[]'), 'offcuts', offcuts) order by system, finish), '[]')
               from grouped cross join tool left join cut using (system, finish) left join span using (system, finish)
               left join reached using (system, finish)))
from workshop where id = $1::integer
