-- Open orders of workshop $1 whose day has passed, or comes within $2 {"ahead"? days (= 0), "after"?: order, "limit"?}, and what each
-- waits for. -> {"rows": [{order, customer, due, days_late, priority, state, windows, pieces_left, kits_left, short (lines), waits}],
-- "totals": {orders, late}, "next"}
with asked as (
    select coalesce(($2::jsonb ->> 'limit')::integer, 100) as most, (now() at time zone 'UTC')::date as today,
           (now() at time zone 'UTC')::date + coalesce(($2::jsonb ->> 'ahead')::integer, 0) as until,
           last.due as after_due, last.id as after_id
    from (select) as once left join job_order last on last.workshop = $1::integer and last.number = $2::jsonb ->> 'after'
), chosen as (
    select job_order.* from asked join job_order on job_order.workshop = $1::integer and job_order.state in ('taken', 'held', 'packed')
        and due < asked.until
), page as (
    select chosen.* from chosen, asked where asked.after_id is null or (chosen.due, chosen.id) > (asked.after_due, asked.after_id)
    order by due, id limit (select most + 1 from asked)
), told as (
    select page.*, row_number() over (order by due, id) as place, job.*, waits.*
    from page
    cross join lateral (
        select count(*) as windows,
               coalesce(sum((select count(*) from piece where piece.job_window = job_window.id and piece.state = 'waiting')), 0) as unplanned,
               coalesce(sum((select count(*) from piece where piece.job_window = job_window.id
                             and piece.state in ('waiting', 'planned', 'released'))), 0) as pieces_left,
               count(*) filter (where kit.state in ('waiting', 'picking', 'complete')) as kits_left
        from job_window left join kit on kit.job_window = job_window.id where job_window.job_order = page.id) job
    cross join lateral (
        select count(*) as short, array_agg(distinct part.code order by part.code) as parts
        from job_window
        join kit on kit.job_window = job_window.id and kit.state in ('waiting', 'picking')
        join kit_line line on line.kit = kit.id and line.picked < line.wanted
        join part on part.id = line.part
        where job_window.job_order = page.id
          and line.wanted - line.picked > coalesce((select sum(quantity) from reservation where kit_line = line.id), 0)) waits
)
select jsonb_build_object(
    'rows', (select coalesce(jsonb_agg(jsonb_build_object('order', number, 'customer', customer, 'due', due, 'days_late', today - due,
                 'priority', priority, 'state', state, 'windows', windows, 'pieces_left', pieces_left, 'kits_left', kits_left, 'short', short,
                 'waits', concat_ws('; ', case state when 'held' then 'held' end,
                     case when unplanned > 0 then unplanned || ' pieces in no plan' end,
                     case when pieces_left > unplanned then (pieces_left - unplanned) || ' pieces at the saw' end,
                     case when short > 0 and state <> 'held' then 'short of ' || array_to_string(parts[1:4], ', ')
                         || case when cardinality(parts) > 4 then format(' and %s more', cardinality(parts) - 4) else '' end end,
                     case when pieces_left = 0 and short = 0 and kits_left > 0 then kits_left || ' kits to pick and pack' end,
                     case state when 'packed' then 'to be dispatched' end)) order by place), '[]')
             from told, asked where place <= most),
    'totals', (select jsonb_build_object('orders', count(*), 'late', count(*) filter (where due < today)) from chosen, asked),
    'next', (select max(number) filter (where place = most) from told, asked having count(*) > max(most)))
