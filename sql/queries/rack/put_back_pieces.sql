-- The cut pieces of the cancelled order $1 that are long enough go on the rack as offcuts, both ends square. Answers their
-- ids, as an array.
with put_back as (
    insert into bar (workshop, kind, system, finish, length, batch, squared, origin, origin_piece, state)
    select piece.workshop, 'offcut', piece.system, piece.finish, piece.length, coalesce(piece.batch, ''), true, 'put-back', piece.id,
           'on-rack'
    from piece join job_window on job_window.id = piece.job_window join workshop on workshop.id = piece.workshop
    where job_window.job_order = $1::bigint and piece.state in ('cut', 'matched') and piece.length >= usable_remainder
    order by piece.id
    returning id
)
select coalesce(jsonb_agg(id order by id), '[]') from put_back
