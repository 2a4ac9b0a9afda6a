-- A plan of workshop $1, $2 {plan}: its bars in sawing order with everything needed to draw them to scale.
select json_strip_nulls(json_build_object(
    'plan', plan.id, 'state', plan.state, 'system', plan.system, 'system_name', track_system.name, 'finish', plan.finish,
    'finish_name', finish.data ->> 'name', 'saw', plan.saw, 'kerf', mm(saw.kerf), 'made_at', plan.made_at,
    'due_until', plan.due_until, 'time_limit', trim_scale(plan.time_limit_ms / 1000.0), 'failure', plan.failure,
    'cancel_asked', nullif(plan.cancel_asked, false),
    'cost', plan.result -> 'cost', 'bound', plan.result -> 'bound', 'proven', plan.result -> 'proven',
    'stopped', plan.result -> 'stopped', 'ms', plan.result -> 'ms', 'buy', plan.result -> 'buy',
    'change', plan.result -> 'change',
    'unmet', (select json_agg(json_build_object('piece', piece.id, 'code', scan_code('P', piece.id), 'order', job_order.number,
                                                  'window', job_window.name, 'length', mm(piece.length), 'why', left_out ->> 'why')
                               order by job_order.due, piece.id)
              from jsonb_array_elements(plan.result -> 'unmet') left_out
              join piece on piece.id = (left_out ->> 'piece')::bigint
              join job_window on job_window.id = piece.job_window
              join job_order on job_order.id = job_window.job_order),
    'joins', (select json_agg(json_build_object(
                  'order', job_order.number, 'window', job_window.name, 'lengths', joined -> 'lengths',
                  'ways', jsonb_array_length(asked -> 'alternatives'), 'moved', joined -> 'lengths' <> asked -> 'alternatives' -> 0,
                  'more_ways', job_window.takeoff -> 'splits_capped') order by nth)
              from rows from (jsonb_array_elements(plan.result -> 'joins'), jsonb_array_elements(plan.problem -> 'joins'))
                  with ordinality as listed (joined, asked, nth)
              join piece on piece.id = (joined -> 'pieces' ->> 0)::bigint
              join job_window on job_window.id = piece.job_window
              join job_order on job_order.id = job_window.job_order),
    'bars', coalesce((select json_agg(json_build_object(
            'plan_bar', plan_bar.id, 'sequence', plan_bar.sequence, 'state', plan_bar.state, 'bar', bar.id,
            'code', spelled_code(case bar.kind when 'bar' then 'B' else 'F' end, bar.id, coalesce(issue.asked, 0)), 'kind', bar.kind, 'batch', bar.batch,
            'place', bar.place, 'length', mm(plan_bar.bar_length), 'lead_trim', mm(plan_bar.lead_trim),
            'kerf', mm(plan_bar.kerf), 'kerfs', plan_bar.kerfs,
            'dust', mm(coalesce(plan_bar.kerf_length, plan_bar.bar_length - plan_bar.lead_trim - plan_bar.remainder
                - (select sum(length)::bigint from piece where piece.plan_bar = plan_bar.id))),
            'remainder', mm(plan_bar.remainder), 'returns', plan_bar.returns,
            'correction', mm(plan_bar.correction), 'waste', mm(plan_bar.waste), 'cut_at', plan_bar.cut_at,
            'offcut', scan_code('F', plan_bar.offcut),
            'pieces', coalesce((select json_agg(json_build_object(
                    'piece', piece.id, 'code', spelled_code('P', piece.id, coalesce(issue.asked, 0)), 'order', job_order.number, 'window', job_window.name,
                    'room', job_window.room, 'number', piece.number, 'of', piece.of, 'side', piece.side, 'due', job_order.due,
                    'length', mm(piece.length), 'state', piece.state,
                    'partner_batch', (select max(partner.batch) from piece partner
                                      where partner.job_window = piece.job_window and partner.state in ('cut', 'matched')
                                        and partner.batch <> bar.batch)) order by piece.sequence)
                from piece join job_window on job_window.id = piece.job_window
                join job_order on job_order.id = job_window.job_order
                left join label_issue issue on issue.letter = 'P' and issue.subject = piece.id
                where piece.plan_bar = plan_bar.id), '[]'))
            order by plan_bar.sequence)
        from plan_bar join bar on bar.id = plan_bar.bar
        left join label_issue issue on issue.letter = case bar.kind when 'bar' then 'B' else 'F' end and issue.subject = bar.id
        where plan_bar.plan = plan.id and plan_bar.state <> 'dropped'), '[]')))
from plan
join saw on saw.workshop = plan.workshop and saw.code = plan.saw
left join track_system on track_system.workshop = plan.workshop and track_system.code = plan.system
left join finish on finish.workshop = plan.workshop and finish.code = plan.finish
where plan.workshop = $1::integer and plan.id = ($2::jsonb ->> 'plan')::bigint
