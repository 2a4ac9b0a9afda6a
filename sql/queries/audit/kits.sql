-- Invariant 6: no corded kit of workshop $1 has left without its tension pulley and that pulley's screws; and no kit at
-- all without every part and every piece. -> {"checked": kits, "findings": [{subject, message}]}
with done as (
    select kit.*, scan_code('K', kit.id) as code, job_order.state as order_state, job_order.number
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    where kit.workshop = $1::integer
), finding as (
    select code as subject, format('It is corded and %s without its %s. A loose cord loop can strangle a child: fetch it back.', state, role.role) as message
    from done, unnest(array['tension-pulley', 'tension-pulley-screw']) as role
    where corded and state in ('complete', 'packed', 'dispatched')
      and not exists (select from kit_line where kit_line.kit = done.id and kit_line.role = role.role and picked = wanted)
    union all
    select code, format('It is corded, but its parts list has no %s.', role.role)
    from done, unnest(array['tension-pulley', 'tension-pulley-screw']) as role
    where corded and state <> 'cancelled' and not exists (select from kit_line where kit_line.kit = done.id and kit_line.role = role.role)
    union all
    select code, 'Its window was taken with a cord, but the kit is not marked as corded.'
    from done join job_window on job_window.id = done.job_window
    where done.corded <> job_window.corded
    union all
    select done.code, format('It is %s, but these were never picked: %s.', done.state, string_agg(part.name, ', ' order by kit_line.position))
    from done join kit_line on kit_line.kit = done.id join part on part.id = kit_line.part
    where done.state in ('complete', 'packed', 'dispatched') and picked <> wanted
    group by done.id, done.code, done.state
    union all
    select code, format('It is %s, but %s of its pieces are not matched with it.', done.state, count(*))
    from done join piece on piece.job_window = done.job_window
    where done.state in ('packed', 'dispatched')
      and piece.state <> all (case done.state when 'dispatched' then array['dispatched'] else array['matched'] end)
    group by done.id, done.code, done.state
    union all
    select format('order %s', number), format('It is %s, but its kit %s is %s.', order_state, code, state)
    from done
    where case order_state when 'packed' then state <> 'packed' when 'dispatched' then state <> 'dispatched'
                           when 'cancelled' then state <> 'cancelled' else state in ('dispatched', 'cancelled') end
    union all
    select scan_code('P', piece.id), format('It is %s, but its order %s is %s.', piece.state, job_order.number, job_order.state)
    from piece join job_window on job_window.id = piece.job_window join job_order on job_order.id = job_window.job_order
    where piece.workshop = $1::integer
      and case job_order.state when 'dispatched' then piece.state <> 'dispatched' when 'cancelled' then piece.state <> 'cancelled'
                               else piece.state in ('dispatched', 'cancelled') end
    union all
    select scan_code('C', parcel.id), format('It is %s, but its order %s is %s.', parcel.state, job_order.number, job_order.state)
    from parcel join job_order on job_order.id = parcel.job_order
    where parcel.workshop = $1::integer
      and case parcel.state when 'packed' then job_order.state not in ('packed', 'held') when 'sent' then job_order.state in ('taken', 'cancelled')
                            else false end
    union all
    select format('order %s', job_order.number), format('It has parcels, but %s of its pieces and kits are in none.', count(*))
    from job_order
    join job_window on job_window.job_order = job_order.id
    cross join lateral (select from piece where piece.job_window = job_window.id
                            and not exists (select from parcel_thing where parcel_thing.piece = piece.id)
                        union all
                        select from kit where kit.job_window = job_window.id
                            and not exists (select from parcel_thing where parcel_thing.kit = kit.id)) as lying
    where job_order.workshop = $1::integer
      and exists (select from parcel where parcel.job_order = job_order.id and parcel.state <> 'opened')
    group by job_order.id
)
select jsonb_build_object('checked', (select count(*) from done),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
