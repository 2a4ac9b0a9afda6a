-- The orders of workshop $1 by due date: $2 {state?, open?, late?, after? (an order's number), limit?}; "next" is the "after"
-- of the page that follows. Open, cancelled and all orders have an index each. What changes of orders gave up
-- stands among the cancelled ones only.
with asked as materialized (
    select given.state, coalesce(given."limit", 100) as most, last.due, last.id as last,
           case when given.open or given.late or given.state in ('taken', 'held', 'packed') then 'open'
                when given.state = 'cancelled' then 'cancelled' else 'all' end as scope,
           case when given.late then (now() at time zone 'UTC')::date end as before
    from jsonb_to_record($2::jsonb) given (state text, open boolean, late boolean, after text, "limit" integer)
    left join lateral (select job_order.due, job_order.id from job_order
                       where job_order.workshop = $1::integer and job_order.number = given.after) last on true
    where given.after is null or last.id is not null
), page as (
    select found.*
    from asked
    cross join lateral (
        (select * from job_order
         where asked.scope = 'open' and workshop = $1::integer and state in ('taken', 'held', 'packed')
           and (asked.state is null or state = asked.state) and (asked.before is null or due < asked.before)
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) > (asked.due, asked.last))
         order by due, id limit asked.most)
        union all
        (select * from job_order
         where asked.scope = 'cancelled' and workshop = $1::integer and state = 'cancelled'
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) > (asked.due, asked.last))
         order by due, id limit asked.most)
        union all
        (select * from job_order
         where asked.scope = 'all' and workshop = $1::integer and (asked.state is null and earlier_of is null or state = asked.state)
           and due >= coalesce(asked.due, '-infinity') and (asked.due is null or (due, id) > (asked.due, asked.last))
         order by due, id limit asked.most)
    ) as found
), shown as (
    select page.*, windows, pieces, pieces_cut, kits_packed
    from page, lateral (
        select count(distinct job_window.id) as windows, count(piece.id) as pieces,
               count(piece.id) filter (where piece.state in ('cut', 'matched', 'dispatched')) as pieces_cut,
               count(distinct kit.id) filter (where kit.state in ('packed', 'dispatched')) as kits_packed
        from job_window join kit on kit.job_window = job_window.id left join piece on piece.job_window = job_window.id
        where job_window.job_order = page.id) counts
)
select jsonb_build_object('orders', coalesce(jsonb_agg(jsonb_build_object(
        'order', number, 'customer', customer, 'due', due, 'priority', priority, 'state', state, 'windows', windows,
        'pieces', pieces, 'pieces_cut', pieces_cut, 'kits_packed', kits_packed,
        'late', state in ('taken', 'held', 'packed') and due < (now() at time zone 'UTC')::date) order by due, id), '[]'),
    'next', case when count(*) = (select most from asked)
                 then (select number from shown order by due desc, id desc limit 1) end)
from shown
