-- The cutting problem of plan $1 as a document: the waiting pieces of orders that are taken, and what lies free on the
-- rack. Full bars alike are one line named by the least id among them, each offcut is a line of its own; the lengths
-- that can be bought stand there with quantity 0, so that the answer can say what to get. Tracks of which all pieces wait and
-- none was ever released may be joined in any way that the take-off lists, if what lies on the rack can give its pieces.
-- The bars of the plan of this saw, system and finish that was dropped last stand there as the earlier ones, as far as a piece
-- of theirs waits. null: no piece is waiting.
with asked as (
    select plan.*, usable_remainder, remainder_value_percent, rack_places
    from plan join workshop on workshop.id = plan.workshop where plan.id = $1::bigint
), pieces as (
    select piece.id, piece.number, piece.length, piece.of, piece.job_window, kit.id as kit, job_order.due, job_order.priority
    from asked join piece on piece.workshop = asked.workshop and piece.system = asked.system and piece.finish = asked.finish
    join job_window on job_window.id = piece.job_window
    join job_order on job_order.id = job_window.job_order
    join kit on kit.job_window = job_window.id
    where piece.state = 'waiting' and job_order.state = 'taken'
      and (asked.due_until is null or job_order.due <= asked.due_until)
), rack as (
    select bar.* from asked join bar on bar.workshop = asked.workshop and bar.system = asked.system and bar.finish = asked.finish
    where bar.state = 'on-rack'
      and not exists (select from plan_bar where plan_bar.bar = bar.id and plan_bar.state in ('planned', 'released'))
), dropped as (
    select earlier.problem, earlier.result from asked join plan earlier on earlier.workshop = asked.workshop
        and earlier.system = asked.system and earlier.finish = asked.finish and earlier.saw = asked.saw
    where earlier.state = 'dropped' and earlier.result is not null order by earlier.id desc limit 1
), earlier as (
    select jsonb_agg(jsonb_build_object('bar', run ->> 'bar', 'count', run -> 'count', 'pieces', run -> 'pieces',
               'length', (select line -> 'length' from jsonb_array_elements(dropped.problem -> 'bars') line
                          where line ->> 'name' = run ->> 'bar' limit 1)) order by place) as bars
    from dropped, jsonb_array_elements(dropped.result -> 'bars') with ordinality runs (run, place)
    where exists (select from pieces, jsonb_array_elements_text(run -> 'pieces') name where name = pieces.id::text)
), buyable as (
    select bar_length.length, bar_length.price from asked
    join bar_length on bar_length.workshop = asked.workshop and bar_length.system = asked.system
), rate as (
    -- what a millimetre costs in the longest bar; without any to buy, lengths stand for values
    select coalesce((select price / mm(length) from buyable order by length desc limit 1), 1) as per_mm
), lines as (
    select min(id) as id, min(id)::text as name, rack.length, count(*) as quantity, batch, squared, null::text as place,
           null::integer as age, coalesce((select price from buyable where buyable.length = rack.length),
                    trunc(mm(rack.length) * per_mm, 1)) as value
    from rack, rate where kind = 'bar' group by rack.length, batch, squared, per_mm
    union all
    select rack.id, rack.id::text, length, 1, batch, squared, place, greatest(0, now()::date - arrived_at::date),
           trunc(mm(length) * per_mm * remainder_value_percent / 100, 1)
    from rack, rate, asked where kind = 'offcut'
    union all
    select null, 'new ' || mm(length), length, 0, '', false, null, null, price from buyable
), reach as (
    -- the longest piece that something on the rack can give
    select coalesce(max(lines.length - case when squared then 0 else saw.lead_trim end
                        - case when saw.tail_clamp > 0 then saw.tail_clamp + saw.kerf else 0 end), 0) as length
    from asked join saw on saw.workshop = asked.workshop and saw.code = asked.saw, lines
    where lines.quantity > 0 and lines.length <= coalesce(saw.longest_bar, lines.length)
), joins as (
    select tracks.*, ways.alternatives
    from (select job_window as id, array_agg(pieces.id::text order by number) as names, min(due) as due
          from pieces where of > 1 group by job_window, of having count(*) = of) tracks
    join job_window on job_window.id = tracks.id
    cross join lateral (
        select jsonb_agg(split -> 'pieces' order by place) as alternatives
        from jsonb_array_elements(job_window.takeoff -> 'splits') with ordinality as listed (split, place), reach
        where split ? 'hanging' and (select max(length) from unnest(lengths_of(split -> 'pieces')) length) <= reach.length
    ) ways
    where jsonb_array_length(ways.alternatives) > 1 and not split_settled(tracks.id)
    order by due, tracks.id
    limit 5000 -- what the engine takes at most; further ones are joined as they are
), room as (
    -- what is still free on the rack once everything released or ready has been cut
    select case when rack_places is not null then greatest(0, rack_places
        - (select count(*) from bar where bar.workshop = asked.workshop and kind = 'offcut' and bar.state = 'on-rack'
           and not exists (select from plan_bar where plan_bar.bar = bar.id and plan_bar.state = 'planned'))
        - (select count(*) from plan_bar where plan_bar.workshop = asked.workshop
           and plan_bar.state in ('planned', 'released') and returns)) end as places
    from asked
)
select case when exists (select from pieces) then jsonb_strip_nulls(jsonb_build_object(
    'kerf', mm(saw.kerf), 'lead_trim', mm(saw.lead_trim), 'tail_clamp', mm(saw.tail_clamp),
    'longest_bar', mm(saw.longest_bar), 'shortest_piece', saw.data -> 'shortest_piece', 'gang', saw.data -> 'gang',
    'remainder', jsonb_build_object('usable', mm(greatest(1, usable_remainder)), 'value_percent', remainder_value_percent,
                                    'places', (select places from room)),
    'previous', (select bars from earlier),
    'bars', (select jsonb_agg(jsonb_build_object('name', name, 'length', mm(length), 'quantity', quantity, 'value', value,
                                                 'squared', squared, 'batch', nullif(batch, ''), 'age', age,
                                                 'place', nullif(place, ''), 'purchasable', id is null)
                              order by id is null, length desc, id) from lines),
    'pieces', (select jsonb_agg(jsonb_build_object('name', id::text, 'length', mm(length), 'due', due, 'priority', priority,
                                                   'batch_match', case when of > 1 then 'W' || job_window end,
                                                   'kit', scan_code('K', kit))
                                order by due, priority desc, id) from pieces),
    'joins', (select jsonb_agg(jsonb_build_object('pieces', names, 'alternatives', alternatives) order by due, id) from joins))) end
from asked join saw on saw.workshop = asked.workshop and saw.code = asked.saw
