-- SPDX-License-Identifier: Apache-2.0
-- Years of an invented workshop, made in one go: :orders orders (those up to :past of them dispatched, the rest open) with a
-- window, a piece, a kit of eight lines and its labels each; :parts parts; about ten ledger entries an order; plans of six
-- bars with three pieces each. The demonstration's catalogue and bins were loaded before. Triggers are off while it runs, so
-- what they would have written is written here; the audit afterwards says whether that came out right.
\set ON_ERROR_STOP on
set search_path = ellwand, pg_temp;
set session_replication_role = replica;
set synchronous_commit = off;
set work_mem = '256MB';
set maintenance_work_mem = '256MB';

-- ---- parts, bins and places: part p lies in the place p; every 97th part is used up and short

insert into part (workshop, code, name, unit, current, position, data)
    select 1, format('FORMER-%s', number), format('Former part %s (invented)', number), 'each', false, number, '{}'
    from generate_series((select count(*) from part) + 1, :parts) number;
insert into bin (workshop, code, walk) select 1, format('Z%s', number), 1000 + number from generate_series(1, 400) number;
insert into stock (id, workshop, part, bin) overriding system value
    select part.id, 1, part.id, bins[1 + part.id % cardinality(bins)]
    from part, (select array_agg(id order by walk) as bins from bin) places;

-- ---- orders from two years ago to three weeks from now

create temporary table job as
    select number as id, number > :past as open,
           date_trunc('minute', now()) - interval '728 days' + number * (interval '742 days' / :orders) as taken
    from generate_series(1, :orders) number;
insert into job_order (id, workshop, number, customer, due, priority, state, taken_at) overriding system value
    select id, 1, format('N%s', id), format('Invented customer %s', id % 5000), (taken + interval '14 days')::date, id % 10,
           case when open then 'taken' else 'dispatched' end, least(taken, now())
    from job;
insert into job_window (id, workshop, job_order, position, name, room, system, finish, corded, survey, takeoff, catalogue_version)
    overriding system value
    select id, 1, id, 1, 'W1', 'Room', 'LARK', 'WH', false, '{}', '{"overall": 1500, "advice": [], "mass": 1.2}', 1 from job;
insert into kit (id, workshop, job_window, corded, state) overriding system value
    select id, 1, id, false, case when not open then 'dispatched' else (array['waiting', 'waiting', 'picking', 'complete'])[1 + id % 4] end
    from job;
-- One part is in every kit, three are of the 56 most used, four of all.
insert into kit_line (id, kit, position, part, wanted, picked, why) overriding system value
    select (id - 1) * 8 + line, id, line,
           case when line = 1 then 1 when line <= 4 then 2 + (id * 3 + line) % 54 else 57 + (id * 7919 + line * 1237) % (:parts - 57) end,
           2 + (id + line) % 6, 0, 'invented'
    from job, generate_series(1, 8) line;
update kit_line set picked = wanted from kit where kit.id = kit_line.kit and
    (kit.state in ('dispatched', 'complete') or kit.state = 'picking' and position <= 4);

-- ---- plans and bars

create temporary table bar_of as
    select number as id, (number - 1) / 6 + 1 as plan, (number - 1) % 6 + 1 as sequence from generate_series(1, :past / 3) number;
insert into bar (id, workshop, kind, system, finish, length, origin, state, arrived_at) overriding system value
    select id, 1, 'bar', 'LARK', 'WH', 60000, 'bought', 'cut', now() - interval '700 days' from bar_of;
insert into bar (id, workshop, kind, system, finish, length, origin, state, place) overriding system value
    select :past / 3 + number, 1, case when number % 3 = 0 then 'bar' else 'offcut' end, 'LARK', 'WH',
           case when number % 3 = 0 then 60000 else 6000 + number * 37 end, case when number % 3 = 0 then 'bought' else 'found' end,
           'on-rack', format('R%s', number % 40)
    from generate_series(1, 600) number;
insert into plan (id, workshop, system, finish, saw, state, time_limit_ms, problem, result, made_at) overriding system value
    select plan, 1, 'LARK', 'WH', 'BENCH', 'done', 10000, '{}', '{"cost": 1, "bound": 1, "proven": true}', now() - interval '600 days'
    from bar_of group by plan;
insert into plan_bar (id, workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf, remainder, returns,
                      pieces_length, kerf_length, waste, correction, cut_at) overriding system value
    select id, 1, plan, sequence, id, 'cut', 60000, 100, 3, 22, 14834, false, 45000, 66, 0, 0,
           now() - interval '720 days' + id * (interval '720 days' / (:past / 3))
    from bar_of;
insert into piece (id, workshop, job_window, number, of, side, system, finish, length, state, plan_bar, sequence) overriding system value
    select id, 1, id, 1, 1, 'whole', 'LARK', 'WH', 15000, case when open then 'waiting' else 'dispatched' end,
           case when not open then (id - 1) / 3 + 1 end, case when not open then (id - 1) % 3 + 1 end
    from job;

-- ---- the ledger: twenty receipts a place, and a pick for each line; then the sums that the triggers keep

create temporary table need as
    select part.id as part, coalesce(sum(line.picked), 0) as used, coalesce(sum(line.wanted), 0) as wanted
    from part left join kit_line line on line.part = part.id group by part.id;
insert into ledger (stock, delta, kind, kit_line, at, key_name, request_id, reason)
    select stock, delta, kind, kit_line, at, 'invented', 'fill-' || 1 + row_number() over (order by at, stock) % :orders, 'filled'
    from (select part as stock, greatest(1, case when part % 97 = 0 and batch < 20 then (used + 19) / 20
                                                 when part % 97 = 0 then used - 19 * ((used + 19) / 20)
                                                 else (wanted + 239) / 20 end) as delta,
                 'receipt' as kind, null::bigint as kit_line, now() - interval '729 days' + batch * interval '30 days' as at
          from need, generate_series(1, 20) batch
          union all
          select line.part, -line.picked, 'pick', line.id, least(now(), job.taken + interval '3 days')
          from kit_line line join job on job.id = line.kit where line.picked > 0) entry
    order by at, stock;
insert into reservation (kit_line, stock, quantity)
    select line.id, line.part, line.wanted - line.picked from kit_line line where line.picked < line.wanted and line.part % 97 <> 0;
update stock set on_hand = sums.on_hand from (select stock, sum(delta) as on_hand from ledger group by stock) sums
    where sums.stock = stock.id;
update stock set reserved = sums.reserved from (select stock, sum(quantity) as reserved from reservation group by stock) sums
    where sums.stock = stock.id;
update kit_line set reserved = sums.reserved from (select kit_line, sum(quantity) as reserved from reservation group by kit_line) sums
    where sums.kit_line = kit_line.id;

-- ---- purchases of five parts each, received in full

insert into purchase (id, workshop, supplier, lead_days, state, made_at, ordered_at, expected) overriding system value
    select number, 1, 'HOLLIN', 10, 'received', at, at, (at + interval '10 days')::date
    from generate_series(1, :parts / 5) number, lateral (select now() - interval '729 days' + number % 700 * interval '1 day' as at) moment;
insert into purchase_line (id, purchase, part, quantity, price, received) overriding system value
    select part, (part - 1) / 5 + 1, part, delta, 50, delta
    from (select distinct on (stock) stock as part, delta from ledger where kind = 'receipt' order by stock, id) first;
insert into purchase_receipt (line, quantity, ledger, at)
    select distinct on (stock) stock, delta, id, at from ledger where kind = 'receipt' order by stock, id;

-- ---- requests and labels

insert into request_log (workshop, key_name, request_id, verb, body_hash, reply)
    select 1, 'invented', 'fill-' || number, 'kit.pick', '', '{}' from generate_series(1, :orders * 2) number;
insert into station (workshop, code, folder, stock, kinds) values (1, 'archive', '/nowhere', 'L100X50', '{}');
insert into print_job (id, workshop, station, kind, payload, state, attempt, printed_at, message) overriding system value
    select id, 1, 'archive', 'kit', jsonb_build_array(jsonb_build_object('code', scan_code('K', id))),
           case when id % 5000 = 0 then 'held' else 'printed' end, 1, now(), case when id % 5000 = 0 then 'out of labels' else '' end
    from job where not open;
insert into label (workshop, kind, subject, copy, print_job) select 1, 'kit', id, 0, id from job where not open;

-- ---- how each came to its state

create temporary table path (kind text, final text, from_state text, to_state text, place integer);
insert into path
    select kind, states[cardinality(states)], coalesce(states[place - 1], ''), states[place], place
    from (values ('order', array['taken']), ('order', array['taken', 'packed', 'dispatched']), ('kit', array['waiting']),
                 ('kit', array['waiting', 'picking']), ('kit', array['waiting', 'picking', 'complete']),
                 ('kit', array['waiting', 'picking', 'complete', 'packed', 'dispatched']), ('piece', array['waiting']),
                 ('piece', array['waiting', 'planned', 'released', 'cut', 'matched', 'dispatched']),
                 ('plan', array['queued', 'solving', 'ready', 'released', 'done']), ('plan-bar', array['planned', 'released', 'cut']),
                 ('bar', array['on-rack']), ('bar', array['on-rack', 'bound', 'cut']),
                 ('print', array['queued', 'sending', 'printing', 'printed']), ('print', array['queued', 'sending', 'held']),
                 ('purchase', array['proposed', 'ordered', 'received'])) way (kind, states),
         generate_series(1, cardinality(states)) place;
insert into history (workshop, kind, subject, from_state, to_state, key_name, request_id, reason)
    select 1, thing.kind, thing.id, path.from_state, path.to_state, 'invented', 'fill-1', 'filled'
    from (select 'order' as kind, id, state from job_order union all select 'kit', id, state from kit
          union all select 'piece', id, state from piece union all select 'plan', id, state from plan
          union all select 'plan-bar', id, state from plan_bar union all select 'bar', id, state from bar
          union all select 'print', id, state from print_job union all select 'purchase', id, state from purchase) thing
    join path on path.kind = thing.kind and path.final = thing.state
    order by path.place, thing.id;

select setval(pg_get_serial_sequence('ellwand.' || name, 'id'), :orders * 10)
    from unnest(array['stock', 'job_order', 'job_window', 'kit', 'kit_line', 'bar', 'plan', 'plan_bar', 'piece', 'purchase',
                      'purchase_line', 'print_job']) name;
vacuum analyze;
