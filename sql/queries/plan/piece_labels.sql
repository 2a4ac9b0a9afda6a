-- The labels of the pieces that plan $1 has still to cut, along the saw's sequence: [{subject, payload}, ..].
select coalesce(json_agg(json_build_object('subject', piece.id, 'payload', json_strip_nulls(json_build_object(
    'code', spelled_code('P', piece.id, coalesce(issue.asked, 0)), 'order', job_order.number, 'window', job_window.name, 'room', nullif(job_window.room, ''),
    'length', mm(piece.length), 'piece', piece.number, 'of', piece.of, 'side', piece.side, 'system', piece.system,
    'finish', piece.finish, 'batch', nullif(bar.batch, ''), 'saw', plan.saw, 'plan', plan.id, 'sequence', plan_bar.sequence,
    'unit', nullif(job_order.unit, 'mm'), 'cut', piece.sequence, 'due', job_order.due, 'join_end', case when piece.of = 1 then 'none' when piece.number = 1 then 'right'
                                           when piece.number = piece.of then 'left' else 'both' end)))
    order by plan_bar.sequence, piece.sequence), '[]')
from plan join plan_bar on plan_bar.plan = plan.id and plan_bar.state = 'released'
join bar on bar.id = plan_bar.bar
join piece on piece.plan_bar = plan_bar.id
join job_window on job_window.id = piece.job_window
join job_order on job_order.id = job_window.job_order
left join label_issue issue on issue.letter = 'P' and issue.subject = piece.id
where plan.id = $1::bigint
