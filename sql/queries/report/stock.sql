-- What is in stock in workshop $1, and its value: parts, full bars by length, offcuts by system and finish. $2 {"after"?: key,
-- "limit"?}. -> {"rows": [{key, kind, code, name, unit, group, on_hand, reserved, price, value}], "groups": [{group, value}],
-- "totals": {lines, parts_value, bars_value, offcuts_value, value}, "next"}. Totals are the sums of the rows of all pages.
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 200) as most, coalesce($2::jsonb ->> 'after', '') as after
), held as (
    select part, sum(on_hand) as on_hand, sum(reserved) as reserved
    from stock where workshop = $1::integer and on_hand > 0 group by part
), line as materialized (
    select ('1 ' || part.code) collate "C" as key, 'part' as kind, part.code, part.name, part.unit, part.data ->> 'role' as "group",
           held.on_hand, held.reserved, (part.data ->> 'price')::bigint as price,
           round(coalesce((part.data ->> 'price')::numeric, 0) * held.on_hand / case part.unit when 'length' then 10000 else 1 end) as value
    from held join part on part.id = held.part
    union all
    select format('2 %s %s %s', system, finish, lpad(length::text, 10, '0')), 'bar', format('%s %s %s', system, finish, mm(length)), 'bar',
           'each', 'bars', count(*), count(*) filter (where state = 'bound'), min(value), sum(value)
    from rack_now where workshop = $1::integer and kind = 'bar' group by system, finish, length
    union all
    select format('3 %s %s', system, finish), 'offcut', format('%s %s', system, finish), 'offcuts', 'length', 'offcuts', sum(length),
           coalesce(sum(length) filter (where state = 'bound'), 0), null, sum(value)
    from rack_now where workshop = $1::integer and kind = 'offcut' group by system, finish
), page as (
    select found.*, row_number() over (order by key) as place
    from (select line.* from line, asked where key > asked.after order by key limit (select most + 1 from asked)) as found
), by_group as (
    select "group", sum(value) as value from line group by "group"
)
select jsonb_build_object(
    'rows', (select coalesce(jsonb_agg(jsonb_build_object('kind', kind, 'code', code, 'name', name, 'unit', unit, 'group', "group",
                 'on_hand', shown(unit, on_hand), 'reserved', shown(unit, reserved), 'price', price, 'value', value) order by place), '[]')
             from page, asked where place <= most),
    'groups', (select coalesce(jsonb_agg(jsonb_build_object('group', "group", 'value', value) order by value desc, "group"), '[]') from by_group),
    'totals', (select jsonb_build_object('lines', count(*), 'parts_value', coalesce(sum(value) filter (where kind = 'part'), 0),
                   'bars_value', coalesce(sum(value) filter (where kind = 'bar'), 0),
                   'offcuts_value', coalesce(sum(value) filter (where kind = 'offcut'), 0), 'value', coalesce(sum(value), 0)) from line),
    'next', (select max(key) filter (where place = most) from page, asked having count(*) > max(most)))
