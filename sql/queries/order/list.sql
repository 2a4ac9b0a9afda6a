-- The orders of workshop $1 by due date: $2 {state?, open?, late?, after? (an order's number), limit?}; "next" is the "after"
-- of the page that follows.
with given as (
    select * from jsonb_to_record($2::jsonb) given (state text, open boolean, late boolean, after text, "limit" integer)
), page as (
    select job_order.* from job_order, given
    where job_order.workshop = $1::integer and (given.state is null or job_order.state = given.state)
      and (given.open is not true or job_order.state in ('taken', 'held', 'packed'))
      and (given.late is not true or (job_order.state in ('taken', 'held', 'packed') and job_order.due < (now() at time zone 'UTC')::date))
      and (given.after is null or (job_order.due, job_order.id) >
           (select due, id from job_order before where before.workshop = $1::integer and before.number = given.after))
    order by job_order.due, job_order.id limit (select coalesce("limit", 100) from given)
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
    'next', case when count(*) = (select coalesce("limit", 100) from given)
                 then (select number from shown order by due desc, id desc limit 1) end)
from shown
