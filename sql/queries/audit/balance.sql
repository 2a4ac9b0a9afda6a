-- Invariant 1: the length balance of every bar of workshop $1, to the tenth of a millimetre.
-- -> {"checked": bars of plans, "findings": [{subject, message}]}
with cut as (
    select plan_bar.*, bar.length as booked_length, bar.state as now_state,
           scan_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id) as code,
           (select coalesce(sum(length), 0) from piece where piece.plan_bar = plan_bar.id) as on_bar
    from plan_bar join bar on bar.id = plan_bar.bar
    where plan_bar.workshop = $1::integer
), recut as (
    select coalesce(sum(piece.length), 0) as length
    from history join piece on piece.id = history.subject
    where history.workshop = $1::integer and history.kind = 'piece' and history.from_state = 'cut' and history.to_state = 'waiting'
), finding as (
    select code as subject, format('Its plan counts with %s mm, but it is booked with %s mm.', mm(bar_length), mm(booked_length)) as message
    from cut where bar_length <> booked_length
    union all
    select code, format('%s mm plus a correction of %s mm are not %s trim + %s pieces + %s kerf + %s waste + %s remainder.',
                        mm(bar_length), mm(correction), mm(lead_trim), mm(pieces_length), mm(kerf_length), mm(waste), mm(remainder))
    from cut
    where state = 'cut' and (bar_length + correction = lead_trim + pieces_length + kerf_length + waste + remainder) is not true
    union all
    select code, format('Its pieces are %s mm long together, more than the %s mm that were cut from it.', mm(on_bar::bigint), mm(pieces_length))
    from cut where state = 'cut' and on_bar > pieces_length
    union all
    select code, format('%s mm of kerf is more than its %s cuts of %s mm make.', mm(kerf_length), kerfs, mm(kerf))
    from cut where state = 'cut' and kerf_length > kerfs * kerf
    union all
    select code, format('%s trim + %s pieces + %s remainder + %s cuts of %s mm do not fit its %s mm.', mm(lead_trim), mm(on_bar::bigint),
                        mm(remainder), kerfs, mm(kerf), mm(bar_length))
    from cut
    where state in ('planned', 'released')
      and bar_length - lead_trim - on_bar - remainder not between 0 and kerfs * kerf
    union all
    select code, case when offcut is null then 'Its remainder should be on the rack, but no offcut came of it.'
                      else 'It left an offcut, but its remainder should not be on the rack.' end
    from cut where state = 'cut' and returns <> (offcut is not null)
    union all
    select 'workshop', format('%s mm of pieces were cut, but the pieces of cut bars make %s mm and those cut again %s mm.',
                              mm(sum(pieces_length)::bigint), mm(sum(on_bar)::bigint), mm(max(recut.length)::bigint))
    from cut, recut where state = 'cut'
    having sum(pieces_length) <> sum(on_bar) + max(recut.length)
    union all
    select scan_code('F', bar.id), format('It is %s mm long, but the cut that left it had a remainder of %s mm.', mm(bar.length), mm(cut.remainder))
    from bar join cut on cut.id = bar.origin_plan_bar
    where bar.workshop = $1::integer and (bar.length <> cut.remainder or cut.offcut is distinct from bar.id or cut.state <> 'cut')
    union all
    select scan_code('F', bar.id), format('It was put back from a piece of %s mm (%s), but is %s mm long.', mm(piece.length), piece.state, mm(bar.length))
    from bar join piece on piece.id = bar.origin_piece
    where bar.workshop = $1::integer and (bar.length <> piece.length or piece.state <> 'cancelled')
)
select jsonb_build_object('checked', (select count(*) from cut),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
