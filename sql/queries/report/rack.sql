-- What lies on the rack of workshop $1, by system, finish and kind. $2 {"system"?, "finish"?, "by_batch"?: also by finish batch,
-- "after"?: key, "limit"?}. -> {"rows": [{system, finish, kind, batch?, count, bound, length, value, oldest, age_days (mean)}],
-- "ages": offcuts by weeks on the rack [{from_weeks, to_weeks, count, length}], "totals": {count, length, value, bars, offcuts,
-- places, free}, "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, coalesce($2::jsonb ->> 'after', '') as after,
           coalesce(($2::jsonb ->> 'by_batch')::boolean, false) as by_batch, $2::jsonb ->> 'system' as system, $2::jsonb ->> 'finish' as finish
), there as materialized (
    select rack_now.*, greatest(0, (now() at time zone 'UTC')::date - (arrived_at at time zone 'UTC')::date) as days
    from rack_now, asked
    where workshop = $1::integer and (asked.system is null or rack_now.system = asked.system)
      and (asked.finish is null or rack_now.finish = asked.finish)
), line as (
    select format('%s %s %s %s', system, finish, kind, batch) collate "C" as key, system, finish, kind, batch, count(*) as count,
           count(*) filter (where state = 'bound') as bound, sum(length) as length, sum(value) as value, min(arrived_at) as oldest,
           round(avg(days), 1) as age
    from (select there.system, there.finish, kind, case when by_batch then batch else '' end as batch, state, length, value,
                 arrived_at, days from there, asked) as each
    group by system, finish, kind, batch
), page as (
    select line.*, row_number() over (order by key) as place from line, asked where key > asked.after order by key
    limit (select most + 1 from asked)
), age as (
    select from_weeks, to_weeks, count(there.id) as count, coalesce(sum(length), 0) as length
    from (values (0, 1), (1, 2), (2, 4), (4, 8), (8, 13), (13, 26), (26, 52), (52, null)) as span (from_weeks, to_weeks)
    left join there on kind = 'offcut' and days >= from_weeks * 7 and (to_weeks is null or days < to_weeks * 7)
    group by from_weeks, to_weeks
)
select jsonb_build_object(
    'rows', (select coalesce(jsonb_agg(jsonb_strip_nulls(jsonb_build_object('system', system, 'finish', finish, 'kind', kind,
                 'batch', case when (select by_batch from asked) then batch end, 'count', count, 'bound', bound, 'length', mm(length::bigint), 'value', value,
                 'oldest', (oldest at time zone 'UTC')::date, 'age_days', trim_scale(age))) order by place), '[]')
             from page where place <= (select most from asked)),
    'ages', (select jsonb_agg(jsonb_build_object('from_weeks', from_weeks, 'to_weeks', to_weeks, 'count', count, 'length', mm(length::bigint))
                              order by from_weeks) from age),
    'totals', (select jsonb_build_object('count', count(*), 'length', mm(coalesce(sum(length), 0)::bigint), 'value', coalesce(sum(value), 0),
                   'bars', count(*) filter (where kind = 'bar'), 'offcuts', count(*) filter (where kind = 'offcut'),
                   'places', (select rack_places from workshop where id = $1::integer),
                   'free', (select case when rack_places is not null then greatest(0, rack_places
                                        - (select count(*) from rack_now where workshop = $1::integer and kind = 'offcut')) end
                            from workshop where id = $1::integer)) from there),
    'next', (select max(key) filter (where place = most) from page, asked having count(*) > max(most)))
