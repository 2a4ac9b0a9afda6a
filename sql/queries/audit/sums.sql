-- Invariant 8: what reports and reorder points of workshop $1 read is the sum of its ledger, its orders, its cuts and its rack.
-- -> {"checked": parts and kinds of track, "findings": [{subject, message}]}
with booked as (
    select stock.part, coalesce(-sum(delta) filter (where kind in ('pick', 'put-back')), 0) as used,
           coalesce(sum(delta) filter (where kind in ('receipt', 'opening')), 0) as received,
           coalesce(sum(delta) filter (where kind = 'adjustment'), 0) as adjusted
    from stock join ledger on ledger.stock = stock.id where stock.workshop = $1::integer group by stock.part
), summed as (
    select part_week.part, sum(used) as used, sum(received) as received, sum(adjusted) as adjusted
    from part join part_week on part_week.part = part.id where part.workshop = $1::integer group by part_week.part
), yearly as (
    select part_year.part, sum(used) as used
    from part join part_year on part_year.part = part.id where part.workshop = $1::integer group by part_year.part
), called as (
    -- one pass over the lines of kits for what orders asked for and what was sent. Weeks are compared by what they sum to and by
    -- where it lies among them (each times its number): exactly, and without a group for each part and week.
    select line.part, sum(line.wanted) filter (where kit.state <> 'cancelled') as asked,
           sum(line.wanted * (((job_order.taken_at at time zone 'UTC')::date - date '2000-01-03') / 7)) filter (where kit.state <> 'cancelled') as lies,
           sum(line.wanted) filter (where kit.state = 'dispatched') as told, sum(line.picked) filter (where kit.state = 'dispatched') as used
    from kit
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    join kit_line line on line.kit = kit.id
    where kit.workshop = $1::integer
    group by line.part
), asked_summed as (
    select asked_week.part, sum(asked) as asked, sum(asked * ((week - date '2000-01-03') / 7)) as lies
    from part join asked_week on asked_week.part = part.id where part.workshop = $1::integer group by asked_week.part
), lengths as (
    select line.part, month_of(job_order.taken_at) as month, round_up_length(line.wanted) as length, count(*) as pieces
    from part
    join kit_line line on line.part = part.id
    join kit on kit.id = line.kit and kit.state <> 'cancelled'
    join job_window on job_window.id = kit.job_window
    join job_order on job_order.id = job_window.job_order
    where part.workshop = $1::integer and part.unit = 'length'
    group by 1, 2, 3
), sent as (
    select part, told, used from called where told is not null
), sent_summed as (
    select sent_week.part, sum(told) as told, sum(used) as used
    from part join sent_week on sent_week.part = part.id where part.workshop = $1::integer group by sent_week.part
), cut as (
    select bar.system, bar.finish, sum(bar_length) as opened, sum(pieces_length) as pieces, count(*) filter (where bar.kind = 'bar') as bars
    from plan_bar join bar on bar.id = plan_bar.bar
    where plan_bar.workshop = $1::integer and plan_bar.state = 'cut' group by bar.system, bar.finish
), cut_summed as (
    select system, finish, sum(bars_length + offcuts_length) as opened, sum(pieces_length) as pieces, sum(cut_week.bars) as bars,
           sum(recut_length) as recut
    from cut_week where workshop = $1::integer group by system, finish
), bar_summed as (
    select system, finish, sum(bar_week.opened) as bars, sum(bar_week.came) as came
    from bar_week where workshop = $1::integer group by system, finish
), rack as (
    select system, finish, coalesce(sum(length) filter (where origin <> 'cut'), 0) as came,
           coalesce(sum(length) filter (where state = 'written-off'), 0) as gone,
           coalesce(sum(length) filter (where state in ('on-rack', 'bound')), 0) as lies, count(*) filter (where origin = 'bought') as bought
    from bar where workshop = $1::integer group by system, finish
), rack_summed as (
    select system, finish, sum(bought_length + found_length + put_back_length) as came, sum(written_off_length) as gone
    from rack_week where workshop = $1::integer group by system, finish
), metres as (
    -- what came and how much longer it proved is what lies there, was cut or was written off
    select system, finish, rack_summed.came
               - coalesce((select sum(pieces_length + kerf_length + trim_length + waste_length + scrap_length - correction)
                           from cut_week where cut_week.workshop = $1::integer and (cut_week.system, cut_week.finish) = (rack_summed.system, rack_summed.finish)), 0)
               - rack_summed.gone - coalesce(rack.lies, 0) as lost
    from rack_summed left join rack using (system, finish)
), finding as (
    select part.code as subject, 'Its sums by week are not those of its ledger.' as message
    from booked full join summed using (part) join part on part.id = coalesce(booked.part, summed.part)
    where (coalesce(booked.used, 0), coalesce(booked.received, 0), coalesce(booked.adjusted, 0))
       <> (coalesce(summed.used, 0), coalesce(summed.received, 0), coalesce(summed.adjusted, 0))
    union all
    select part.code, 'Its sums by year are not those by week.'
    from summed left join yearly using (part) join part on part.id = summed.part
    where summed.used <> coalesce(yearly.used, 0)
    union all
    select part.code, 'What orders asked for week by week is not what is summed of them.'
    from called full join asked_summed using (part) join part on part.id = part
    where (coalesce(called.asked, 0), coalesce(called.lies, 0)) <> (coalesce(asked_summed.asked, 0), coalesce(asked_summed.lies, 0))
    union all
    select part.code, 'The lengths asked for are not those summed of its orders.'
    from lengths full join (select asked_length.* from part join asked_length on asked_length.part = part.id
                            where part.workshop = $1::integer) summed using (part, month, length)
    join part on part.id = part
    where coalesce(lengths.pieces, 0) <> coalesce(summed.pieces, 0)
    group by part.code
    union all
    select part.code, 'What its dispatched kits hold is not what is summed of them.'
    from sent full join sent_summed using (part) join part on part.id = coalesce(sent.part, sent_summed.part)
    where (sent.told, sent.used) is distinct from (sent_summed.told, sent_summed.used)
    union all
    select format('%s %s', system, finish), 'What is summed of its cuts is not what its bars say.'
    from cut full join cut_summed using (system, finish)
    where (cut.opened, cut.pieces, cut.bars) is distinct from (cut_summed.opened, cut_summed.pieces, cut_summed.bars)
       or cut_summed.recut > cut_summed.pieces
    union all
    select format('%s %s', system, finish), 'Its bars by length are not those that came and were opened.'
    from rack full join bar_summed using (system, finish) left join cut using (system, finish)
    where coalesce(cut.bars, 0) <> coalesce(bar_summed.bars, 0) or coalesce(rack.bought, 0) <> coalesce(bar_summed.came, 0)
    union all
    select format('%s %s', system, finish), 'What is summed of its rack is not what its bars and offcuts say.'
    from rack full join rack_summed using (system, finish) where (rack.came, rack.gone) is distinct from (rack_summed.came, rack_summed.gone)
    union all
    select format('%s %s', system, finish), format('%s mm that came are neither on the rack, nor cut, nor written off.', mm(lost::bigint))
    from metres where lost <> 0
)
select jsonb_build_object('checked', (select count(*) from booked) + (select count(*) from rack),
    'findings', (select coalesce(jsonb_agg(listed), '[]') from (select * from finding order by subject, message limit 100) listed))
