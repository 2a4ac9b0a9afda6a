-- Puts a piece to the kit $3 of workshop $1, or takes it from it: $2 {"piece"}, $4 'matched' or 'cut'. Refuses a piece of
-- another window, or one that is not cut. -> {piece, length, state}
with asked as materialized (
    select piece.id, piece.state, piece.length, piece.job_window, kit.id as kit, kit.state as kit_state,
           kit.job_window as kit_window, job_order.number, job_order.state as order_state, job_window.name,
           (select scan_code('K', own.id) from kit own where own.job_window = piece.job_window) as own_kit
    from piece
    join kit on kit.id = $3::bigint
    join job_window on job_window.id = piece.job_window
    join job_order on job_order.id = job_window.job_order
    where piece.id = need_piece($1::integer, $2::jsonb ->> 'piece', 'piece')
), checked as materialized (
    select * from asked
    where case
        when job_window <> kit_window then refuse('wrong-kit', 'piece',
            format('This piece belongs to kit %s (order %s, window %s), not to this kit.', own_kit, number, name)) is not null
        when order_state <> 'taken' then refuse('order-' || order_state, 'kit',
            format('Order %s is %s; its kits stay as they are.', number, order_state)) is not null
        when kit_state in ('packed', 'dispatched', 'cancelled') then refuse('kit-' || kit_state, 'kit',
            format('This kit is %s; its pieces stay as they are.', kit_state)) is not null
        when $4 = 'matched' and state = 'matched' then refuse('already-matched', 'piece',
            'This piece is with its kit already.') is not null
        when $4 = 'matched' and state <> 'cut' then refuse('not-cut', 'piece',
            format('This piece is %s, not cut; confirm its cut first.', state)) is not null
        when $4 = 'cut' and state <> 'matched' then refuse('not-matched', 'piece',
            format('This piece is %s, not matched with a kit.', state)) is not null
        else true end
), changed as (
    update piece set state = $4 from checked where piece.id = checked.id returning piece.id, piece.length, piece.state
)
select jsonb_build_object('piece', scan_code('P', id), 'length', mm(length), 'state', state) from changed
