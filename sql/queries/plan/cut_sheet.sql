-- The cut sheet of a plan of workshop $1, $2 {plan}: the document that is printed for the saw. Bars that are cut or dropped are
-- not on it. null: nothing of the plan is to be cut.
with bars as (
    select plan_bar.*, bar.kind, bar.place, bar.batch, bar.squared, kind.letter, coalesce(label_issue.asked, 0) as issue,
           (select coalesce(sum(length), 0) from piece where piece.plan_bar = plan_bar.id) as pieces_sum
    from plan_bar join bar on bar.id = plan_bar.bar
    cross join lateral (select case bar.kind when 'bar' then 'B' else 'F' end as letter) kind
    left join label_issue on label_issue.letter = kind.letter and label_issue.subject = bar.id
    where plan_bar.workshop = $1::integer and plan_bar.plan = ($2::jsonb ->> 'plan')::bigint
      and plan_bar.state in ('planned', 'released')
)
select json_build_object(
    'plan', plan.id::text, 'saw', coalesce(saw.name, plan.saw), 'system', coalesce(track_system.name, plan.system),
    'finish', coalesce(finish.data ->> 'name', plan.finish), 'date', (now() at time zone 'UTC')::date, 'kerf', mm(saw.kerf),
    'gang', coalesce(saw.data -> 'gang', '1'),
    'yield', (select round(100 * sum(pieces_sum) / sum(bar_length - case when returns then remainder else 0 end), 1) from bars),
    'bars', (select json_agg(json_strip_nulls(json_build_object(
            'sequence', bars.sequence, 'bar', kind, 'code', spelled_code(letter, bars.bar, issue),
            'place', nullif(place, ''), 'batch', nullif(batch, ''), 'length', mm(bar_length), 'squared', squared,
            'lead_trim', mm(lead_trim), 'remainder', mm(remainder), 'returns', returns,
            'remainder_place', case when returns then nullif(place, '') end,
            'pieces', (select json_agg(json_build_object(
                    'piece', job_order.number || ' ' || job_window.name
                             || case when piece.of > 1 then ' ' || piece.side else '' end,
                    'code', spelled_code('P', piece.id, coalesce(issue.asked, 0)), 'length', mm(piece.length)) order by piece.sequence)
                from piece join job_window on job_window.id = piece.job_window
                join job_order on job_order.id = job_window.job_order
                left join label_issue issue on issue.letter = 'P' and issue.subject = piece.id
                where piece.plan_bar = bars.id)))
            order by bars.sequence) from bars))
from plan join saw on saw.workshop = plan.workshop and saw.code = plan.saw
left join track_system on track_system.workshop = plan.workshop and track_system.code = plan.system
left join finish on finish.workshop = plan.workshop and finish.code = plan.finish
where plan.workshop = $1::integer and plan.id = ($2::jsonb ->> 'plan')::bigint and exists (select from bars)
