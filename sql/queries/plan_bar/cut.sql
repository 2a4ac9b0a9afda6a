-- Books the cut of plan bar $1, released and locked: measured remainder $2 (null: as planned), mis-cut pieces $3 (an array of
-- ids), place $4 of what goes back on the rack (null: where the bar lay). A remainder long enough goes back, unless the plan
-- gave it up because the rack is full; naming a place overrules that. Every tenth is accounted for: what the measure
-- differs from the plan is the correction of the bar's booked length.
with cut as (
    select plan_bar.*, bar.system, bar.finish, bar.batch, coalesce($4, bar.place) as to_place, usable_remainder,
           coalesce($2::bigint, plan_bar.remainder) as measured
    from plan_bar join bar on bar.id = plan_bar.bar join workshop on workshop.id = plan_bar.workshop
    where plan_bar.id = $1::bigint
), pieces as (
    select piece.id, piece.length, $3::jsonb @> to_jsonb(piece.id) as spoiled from piece where plan_bar = $1::bigint
), good as (
    update piece set state = 'cut', batch = cut.batch from cut
    where piece.id in (select id from pieces where not spoiled)
), again as (
    update piece set state = 'waiting', plan_bar = null, sequence = null where id in (select id from pieces where spoiled)
), used as (
    update bar set state = 'cut' from cut where bar.id = cut.bar
), offcut as (
    insert into bar (workshop, kind, system, finish, length, batch, place, squared, origin, origin_plan_bar, state)
    select workshop, 'offcut', system, finish, measured, batch, to_place, true, 'cut', id, 'on-rack'
    from cut
    where measured >= usable_remainder and measured > 0 and (returns or remainder < usable_remainder or $4 is not null)
    returning id
), sums as (
    select coalesce(sum(length) filter (where not spoiled), 0) as good_length,
           coalesce(sum(length) filter (where spoiled), 0) as spoiled_length,
           count(*) filter (where spoiled) as spoiled from pieces
), booked as (
    update plan_bar set state = 'cut', cut_at = now(), remainder = measured, returns = exists (select from offcut),
        pieces_length = good_length, waste = spoiled_length,
        kerf_length = cut.bar_length - cut.lead_trim - cut.remainder - good_length - spoiled_length,
        correction = measured - cut.remainder, offcut = (select id from offcut)
    from cut, sums where plan_bar.id = cut.id
    returning plan_bar.id, plan_bar.plan, plan_bar.bar_length, plan_bar.lead_trim, plan_bar.pieces_length,
        plan_bar.kerf_length, plan_bar.waste, plan_bar.remainder, plan_bar.correction, plan_bar.offcut
)
select jsonb_build_object(
    'plan_bar', booked.id, 'plan', booked.plan, 'length', mm(booked.bar_length), 'lead_trim', mm(booked.lead_trim),
    'pieces_length', mm(pieces_length), 'kerf_length', mm(kerf_length), 'waste', mm(waste), 'remainder', mm(remainder),
    'correction', mm(correction), 'pieces_cut', (select count(*) from pieces where not spoiled),
    'pieces_waiting_again', (select count(*) from pieces where spoiled),
    'offcut', case when booked.offcut is not null then
        jsonb_build_object('bar', booked.offcut, 'code', scan_code('F', booked.offcut), 'place', (select to_place from cut)) end)
from booked
