-- Puts what the approved stock-takes $2 (an array of ids) of workshop $1 found at places of the rack into the books: what nobody
-- found is written off, what the books had elsewhere or as written off is there, and an offcut without a label is new.
-- Refuses to write off what a plan counts on. -> {"written_off": [code, ..], "moved": [..], "back": [..], "made": [{bar, code}]}
with take as materialized (
    select id, rack_place from stock_take
    where id in (select value::bigint from jsonb_array_elements_text($2::jsonb)) and rack_place is not null
), gone as materialized (
    select bar.id
    from take
    join stock_take_missing missing on missing.stock_take = take.id
    join bar on bar.id = missing.bar and bar.state = 'on-rack' and bar.place = take.rack_place
    left join plan_bar on plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released')
    where case when plan_bar.id is not null then refuse('bar-in-plan', 'stock_takes', format(
                   '%s was not found, and plan %s counts on it; drop that plan first, or ask for a recount.',
                   scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id), plan_bar.plan)) is not null
               else true end
), found as materialized (
    select distinct on (bar.id) bar.id, bar.state as was, bar.place as lay, take.rack_place as lies
    from take join stock_count_bar entry on entry.stock_take = take.id join bar on bar.id = entry.bar
    where bar.state in ('on-rack', 'bound', 'written-off')
    order by bar.id, entry.id desc
), written_off as (
    update bar set state = 'written-off' from gone where bar.id = gone.id and gone.id not in (select id from found)
    returning bar.id, bar.kind
), righted as (
    update bar set place = found.lies, state = case found.was when 'written-off' then 'on-rack' else bar.state end
    from found where bar.id = found.id and (found.was = 'written-off' or found.lay <> found.lies)
    returning bar.id, bar.kind, found.was
), made as (
    insert into bar (workshop, kind, system, finish, length, batch, place, squared, origin, state)
    select $1::integer, 'offcut', entry.system, entry.finish, entry.length, entry.batch, take.rack_place, entry.squared, 'found', 'on-rack'
    from take join stock_count_bar entry on entry.stock_take = take.id and entry.bar is null
    order by entry.id
    returning id
), code as (
    select 'written_off' as what, id, kind from written_off
    union all
    select case was when 'written-off' then 'back' else 'moved' end, id, kind from righted
)
select jsonb_build_object(
    'written_off', (select coalesce(jsonb_agg(scan_code(case kind when 'bar' then 'B' else 'F' end, id) order by id), '[]')
                    from code where what = 'written_off'),
    'moved', (select coalesce(jsonb_agg(scan_code(case kind when 'bar' then 'B' else 'F' end, id) order by id), '[]')
              from code where what = 'moved'),
    'back', (select coalesce(jsonb_agg(scan_code(case kind when 'bar' then 'B' else 'F' end, id) order by id), '[]')
             from code where what = 'back'),
    'made', (select coalesce(jsonb_agg(jsonb_build_object('bar', id, 'code', scan_code('F', id)) order by id), '[]') from made))
