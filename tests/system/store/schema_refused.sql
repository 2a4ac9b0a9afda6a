-- What the schema refuses to SQL itself, whatever a program asks. Blocks are parted by an empty line; each runs as the
-- owner on the workshop of schema_base.sql, in a transaction that is rolled back. Of a block headed `refuse EXPECTED: why` the
-- last statement must be refused, with EXPECTED: the constraint's name, the code of our own error, or the SQLSTATE. One headed
-- `allow: why` must pass: it shows that its neighbours are refused for what they differ in.

-- refuse reserved_within_on_hand: stock below zero
insert into ledger (stock, delta, kind) values (1, -21, 'adjustment');

-- allow: the last of the stock
insert into ledger (stock, delta, kind) values (1, -20, 'adjustment');

-- refuse reserved_within_on_hand: what is reserved for a kit leaves by another way
insert into ledger (stock, delta, kind) values (3, -11, 'adjustment');

-- refuse reserved_within_on_hand: more reserved than there is
update kit_line set wanted = 100 where id = 3;
update reservation set quantity = 21;

-- refuse over-reserved: more reserved than the kit needs
update reservation set quantity = 11;

-- refuse reservation_kit_line_stock_key: two reservations of one line in one bin
insert into reservation (kit_line, stock, quantity) values (3, 3, 1);

-- refuse two-reels: a length that is set aside on two reels
insert into part (workshop, code, name, unit, position, data) values (1, 'cord', 'Cord', 'length', 9, '{}');
insert into stock (workshop, part, bin, batch) select 1, part.id, 1, batch from part, unnest('{r1,r2}'::text[]) batch where code = 'cord';
insert into ledger (stock, delta, kind) select stock.id, 30000, 'opening' from stock where batch like 'r_';
insert into kit_line (kit, position, part, wanted) select 1, 9, id, 60000 from part where code = 'cord';
insert into reservation (kit_line, stock, quantity) select kit_line.id, stock.id, 30000 from kit_line, stock where wanted = 60000 and batch like 'r_';

-- refuse two-reels: a length picked from two reels
insert into part (workshop, code, name, unit, position, data) values (1, 'cord', 'Cord', 'length', 9, '{}');
insert into stock (workshop, part, bin, batch) select 1, part.id, 1, batch from part, unnest('{r1,r2}'::text[]) batch where code = 'cord';
insert into ledger (stock, delta, kind) select stock.id, 30000, 'opening' from stock where batch like 'r_';
insert into kit_line (kit, position, part, wanted) select 1, 9, id, 60000 from part where code = 'cord';
insert into ledger (stock, delta, kind, kit_line) select stock.id, -30000, 'pick', kit_line.id from kit_line, stock where wanted = 60000 and batch like 'r_';

-- allow: a length set aside and picked from one reel
insert into part (workshop, code, name, unit, position, data) values (1, 'cord', 'Cord', 'length', 9, '{}');
insert into stock (workshop, part, bin, batch) select 1, part.id, 1, batch from part, unnest('{r1,r2}'::text[]) batch where code = 'cord';
insert into ledger (stock, delta, kind) select stock.id, 70000, 'opening' from stock where batch like 'r_';
insert into kit_line (kit, position, part, wanted) select 1, 9, id, 60000 from part where code = 'cord';
insert into reservation (kit_line, stock, quantity) select kit_line.id, stock.id, 60000 from kit_line, stock where wanted = 60000 and batch = 'r1';
delete from reservation where quantity = 60000;
insert into ledger (stock, delta, kind, kit_line) select stock.id, -60000, 'pick', kit_line.id from kit_line, stock where wanted = 60000 and batch = 'r1';
insert into ledger (stock, delta, kind, kit_line) select stock.id, 60000, 'put-back', kit_line.id from kit_line, stock where wanted = 60000 and batch = 'r1';
insert into ledger (stock, delta, kind, kit_line) select stock.id, -60000, 'pick', kit_line.id from kit_line, stock where wanted = 60000 and batch = 'r2';

-- refuse append-only: a ledger row changed
update ledger set delta = 30 where id = 1;

-- refuse append-only: a ledger row deleted
delete from ledger where id = 1;

-- refuse append-only: the ledger emptied
truncate ledger cascade;

-- refuse append-only: history rewritten
update history set reason = 'another';

-- refuse append-only: history deleted
delete from history;

-- refuse ledger_delta_check: a ledger row of nothing
insert into ledger (stock, delta, kind) values (1, 0, 'receipt');

-- refuse ledger_check1: an adjustment without a reason
insert into ledger (stock, delta, kind, reason) values (1, 1, 'adjustment', '');

-- refuse ledger_check: a pick for no kit
insert into ledger (stock, delta, kind) values (1, -1, 'pick');

-- refuse picked_within_wanted: more picked than the kit needs
insert into ledger (stock, delta, kind, kit_line) values (1, -2, 'pick', 1);

-- refuse picked_within_wanted: more put back than was picked
insert into ledger (stock, delta, kind, kit_line) values (1, 1, 'put-back', 1);

-- refuse step-not-allowed: an order that skips packing
update job_order set state = 'dispatched' where id = 1;

-- refuse step-not-allowed: an order that starts as cancelled
insert into job_order (workshop, number, customer, due, priority, state) values (1, 'A3', 'x', '2030-01-01', 5, 'cancelled');

-- refuse step-not-allowed: a state nobody knows
update job_order set state = 'lost' where id = 1;

-- refuse step-not-allowed: a waiting piece is cut
update piece set state = 'cut' where id = 2;

-- refuse step-not-allowed: a bar that was never bound is cut
update bar set state = 'cut' where id = 2;

-- refuse step-not-allowed: a dropped plan comes back
update plan set state = 'dropped' where id = 2;
update plan set state = 'ready' where id = 2;

-- refuse step-not-allowed: a printed job is printed again
insert into station (workshop, code, queue, stock, kinds) values (1, 'bench', 'q', 'small', '{piece}');
insert into print_job (workshop, station, kind, payload, state) values (1, 'bench', 'piece', '[1]', 'queued');
update print_job set state = 'sending';
update print_job set state = 'printing';
update print_job set state = 'printed';
update print_job set state = 'queued';

-- refuse plan_bar_one_live_plan: a bar in two live plans
insert into plan_bar (workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf, remainder, returns)
    values (1, 2, 1, 1, 'planned', 60000, 100, 1, 22, 49878, true);

-- allow: another bar in another plan
insert into plan_bar (workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf, remainder, returns)
    values (1, 2, 1, 2, 'planned', 60000, 100, 1, 22, 49878, true);

-- refuse piece_place: two pieces at one place of a bar
update piece set state = 'planned', plan_bar = 1, sequence = 1 where id = 2;

-- refuse piece_check3: a waiting piece that is in a plan all the same
update piece set plan_bar = 1, sequence = 2 where id = 2;

-- refuse piece_check2: a planned piece without a plan
update piece set state = 'planned' where id = 2;

-- refuse length_balance: length made from nothing
update plan_bar set state = 'released' where id = 1;
update plan_bar set state = 'cut', pieces_length = 10000, kerf_length = 22, waste = 0, correction = 0, remainder = 49879;

-- allow: a cut that balances to the tenth
update plan_bar set state = 'released' where id = 1;
update plan_bar set state = 'cut', pieces_length = 10000, kerf_length = 22, waste = 0, correction = 0, remainder = 49878;

-- refuse length_balance: a cut without its measures
update plan_bar set state = 'released' where id = 1;
update plan_bar set state = 'cut';

-- refuse bar_one_remainder: two remainders of one bar
insert into bar (workshop, kind, system, finish, length, origin, origin_plan_bar, state)
    values (1, 'offcut', 'cord', 'white', 9000, 'cut', 1, 'on-rack'), (1, 'offcut', 'cord', 'white', 9000, 'cut', 1, 'on-rack');

-- refuse bar_check: an offcut that no cut left
insert into bar (workshop, kind, system, finish, length, origin, state) values (1, 'offcut', 'cord', 'white', 9000, 'cut', 'on-rack');

-- refuse bar_put_back_once: one piece put back twice
insert into bar (workshop, kind, system, finish, length, origin, origin_piece, state)
    values (1, 'offcut', 'cord', 'white', 9000, 'put-back', 3, 'on-rack'), (1, 'offcut', 'cord', 'white', 9000, 'put-back', 3, 'on-rack');

-- refuse bar_length_check: a bar of no length
insert into bar (workshop, kind, system, finish, length, origin, state) values (1, 'bar', 'cord', 'white', 0, 'bought', 'on-rack');

-- allow: another of the splits that the take-off lists
do $$ begin assert take_split(1, 3, '{15000,15000}'); end $$;
do $$ begin assert (select array_agg(length order by number) from piece where job_window = 3) = '{15000,15000}'; end $$;
do $$ begin assert (select jsonb_path_query_array(takeoff, '$.brackets[*].kind') from job_window where id = 3) = '["bracket","bracket","join"]'; end $$;
do $$ begin assert (select takeoff #>> '{hanging,reaction}' from job_window where id = 3) = '2'; end $$;
do $$ begin assert take_split(1, 3, '{12000,18000}'); end $$;
do $$ begin assert (select array_agg(length order by number) from piece where job_window = 3) = '{12000,18000}'; end $$;
set constraints all immediate;

-- refuse unknown-split: lengths that the take-off does not list
select take_split(1, 3, '{10000,20000}');

-- refuse wrong-pieces: a length that the take-off does not have
update piece set length = 15000 where id = 4;
set constraints all immediate;

-- refuse wrong-pieces: a take-off that its pieces do not follow
update job_window set takeoff = split_taken(takeoff, 1) where id = 3;
set constraints all immediate;

-- allow: both together
update job_window set takeoff = split_taken(takeoff, 1) where id = 3;
update piece set length = 15000 where job_window = 3;
set constraints all immediate;

-- refuse wrong-pieces: a piece more than the take-off has
insert into piece (workshop, job_window, number, of, side, system, finish, length, state)
    values (1, 3, 3, 3, 'right', 'cord', 'white', 1000, 'waiting');
set constraints all immediate;

-- refuse wrong-pieces: pieces that do not make up the track
insert into job_window (workshop, job_order, position, name, system, finish, corded, survey, takeoff, catalogue_version)
    values (1, 1, 8, 'W8', 'cord', 'white', true, '{}', '{"cut_total": 3000, "pieces": [{"length": 2000}]}', 1);
insert into piece (workshop, job_window, number, of, side, system, finish, length, state)
    select 1, max(id), 1, 1, 'whole', 'cord', 'white', 20000, 'waiting' from job_window;
set constraints all immediate;

-- refuse takeoff-settled: a take-off rewritten
update job_window set takeoff = jsonb_set(takeoff, '{cut_total}', '2000') where id = 3;

-- refuse length-settled: the length of a planned piece
update piece set length = 12000 where id = 1;

-- refuse length-settled: the length of a piece that was once released
update piece set state = 'planned', plan_bar = 1, sequence = 2 where id = 4;
update piece set state = 'released' where id = 4;
update piece set state = 'waiting', plan_bar = null, sequence = null where id = 4;
update piece set length = 15000 where id = 4;

-- refuse split-settled: another split once a piece was released
update piece set state = 'planned', plan_bar = 1, sequence = 2 where id = 4;
update piece set state = 'released' where id = 4;
update piece set state = 'waiting', plan_bar = null, sequence = null where id = 4;
update job_window set takeoff = split_taken(takeoff, 1) where id = 3;

-- allow: once a piece was released, no other split is taken
update piece set state = 'planned', plan_bar = 1, sequence = 2 where id = 4;
update piece set state = 'released' where id = 4;
update piece set state = 'waiting', plan_bar = null, sequence = null where id = 4;
do $$ begin assert not take_split(1, 3, '{15000,15000}'); end $$;
do $$ begin assert (select length from piece where id = 4) = 12000; end $$;

-- refuse no-tension-pulley: a corded kit whose pulley was not picked
insert into ledger (stock, delta, kind, kit_line) values (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;

-- refuse no-tension-pulley: a corded kit whose pulley's screws are one short
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -1, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;

-- refuse no-tension-pulley: a corded kit whose list has no pulley
insert into ledger (stock, delta, kind, kit_line) values (3, -1, 'pick', 4);
update kit set state = 'picking' where id = 2;
update kit set state = 'complete' where id = 2;

-- refuse kit-not-complete: a kit with a line still to be picked
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;

-- allow: a corded kit with everything in it
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;

-- refuse pieces-not-matched: a kit packed before its pieces are there
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;
update kit set state = 'packed' where id = 1;

-- refuse step-not-allowed: a kit made complete at once
insert into job_window (workshop, job_order, position, name, system, finish, corded, survey, takeoff, catalogue_version)
    values (1, 1, 9, 'W9', 'cord', 'white', true, '{}', '{}', 1);
insert into kit (workshop, job_window, corded, state) select 1, max(id), true, 'complete' from job_window;

-- refuse kit_corded_as_its_window: a corded kit declared to be none, to leave without its pulley
update kit set corded = false where id = 2;

-- refuse kit-not-complete: a kit whose line is taken back after it was made complete
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;
insert into ledger (stock, delta, kind, kit_line) values (1, 1, 'put-back', 1);
set constraints all immediate;

-- allow: the same, and the kit is opened again
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;
insert into ledger (stock, delta, kind, kit_line) values (1, 1, 'put-back', 1);
update kit set state = 'picking' where id = 1;
set constraints all immediate;

-- refuse kit-not-complete: a line added to a kit that stays complete
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1), (2, -2, 'pick', 2);
delete from reservation;
insert into ledger (stock, delta, kind, kit_line) values (3, -10, 'pick', 3);
update kit set state = 'picking' where id = 1;
update kit set state = 'complete' where id = 1;
insert into kit_line (kit, position, part, wanted, role) values (1, 4, 1, 1, 'spare');
set constraints all immediate;

-- refuse kit_job_window_key: two kits for one window
insert into kit (workshop, job_window, corded, state) values (1, 1, true, 'waiting');

-- refuse job_order_workshop_number_key: two orders of one number
insert into job_order (workshop, number, customer, due, priority, state) values (1, 'A1', 'x', '2030-01-01', 5, 'taken');

-- allow: the same number in another workshop
insert into job_order (workshop, number, customer, due, priority, state) values (2, 'A1', 'x', '2030-01-01', 5, 'taken');

-- refuse request_log_pkey: a request done twice
insert into request_log (workshop, key_name, request_id, verb, body_hash) values (1, 'k', 'r', 'v', 'h'), (1, 'k', 'r', 'w', 'h');

-- refuse append-only: another answer to an answered request
insert into request_log (workshop, key_name, request_id, verb, body_hash, reply) values (1, 'k', 'r', 'v', 'h', '{}');
update request_log set reply = '{"other": true}';

-- refuse label_workshop_kind_subject_copy_key: two first prints of one label
insert into station (workshop, code, queue, stock, kinds) values (1, 'bench', 'q', 'small', '{piece}');
insert into print_job (workshop, station, kind, payload, state) values (1, 'bench', 'piece', '[1]', 'queued');
insert into label (workshop, kind, subject, copy, print_job) values (1, 'piece', 1, 0, 1), (1, 'piece', 1, 0, 1);

-- refuse station_check: a station that prints nowhere
insert into station (workshop, code, stock, kinds) values (1, 'bench', 'small', '{piece}');

-- refuse client_key_roles_check: a key with a role nobody knows
insert into client_key (workshop, name, public_key, roles) values (1, 'k', repeat('x', 40), '{king}');

-- refuse client_key_roles_check: a key without a role
insert into client_key (workshop, name, public_key, roles) values (1, 'k', repeat('x', 40), '{}');

-- refuse line_of_one_thing: a line that buys nothing
insert into purchase_line (purchase, quantity) values (1, 1);

-- refuse line_of_one_thing: a line that buys a part and bars
insert into purchase_line (purchase, part, system, finish, length, quantity) values (1, 2, 'cord', 'white', 60000, 1);

-- refuse line_of_one_thing: bars of no length
insert into purchase_line (purchase, system, finish, quantity) values (1, 'cord', 'white', 1);

-- refuse purchase_line_quantity_check: less than nothing
update purchase_line set quantity = -1 where id = 1;

-- refuse purchase_line_purchase_part_key: two lines for one part
insert into purchase_line (purchase, part, quantity) values (1, 4, 1);

-- refuse unknown-part: a part of another workshop
insert into purchase_line (purchase, part, quantity) values (4, 1, 1);

-- refuse purchase-settled: another quantity once it is ordered
update purchase_line set quantity = 6 where id = 2;

-- allow: another quantity while it is proposed
update purchase_line set quantity = 6 where id = 1;

-- refuse purchase-settled: a line dropped once it is ordered
delete from purchase_line where id = 3;

-- refuse purchase-settled: another supplier once it is ordered
update purchase set supplier = 'other' where id = 2;

-- refuse nothing-to-order: an order of no lines
update purchase set state = 'ordered', ordered_at = now(), expected = '2030-01-01' where id = 3;

-- refuse purchase_ordered: an order expected on no day
update purchase set state = 'ordered', ordered_at = now() where id = 1;

-- refuse no-supplier: an order that nobody is to fill
update purchase set supplier = '' where id = 1;
update purchase set state = 'ordered', ordered_at = now(), expected = '2030-01-01' where id = 1;

-- refuse step-not-allowed: received before it was ordered
update purchase set state = 'received', ordered_at = now(), expected = '2030-01-01' where id = 1;

-- refuse over-received: more comes than was ordered
insert into ledger (stock, delta, kind) values (4, 4, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (2, 4, (select max(id) from ledger));

-- allow: the same where somebody said to keep it
update purchase_line set over = true where id = 2;
insert into ledger (stock, delta, kind) values (4, 4, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (2, 4, (select max(id) from ledger));

-- refuse received_within_ordered: received written by hand
update purchase_line set received = 6 where id = 2;

-- refuse wrong-receipt: a receipt of another number than came in
insert into ledger (stock, delta, kind) values (4, 2, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (2, 1, (select max(id) from ledger));

-- refuse wrong-receipt: another part than the line's
insert into ledger (stock, delta, kind) values (2, 2, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (2, 2, (select max(id) from ledger));

-- refuse wrong-receipt: stock that was corrected, not received
insert into ledger (stock, delta, kind) values (4, 2, 'adjustment');
insert into purchase_receipt (line, quantity, ledger) values (2, 2, (select max(id) from ledger));

-- refuse purchase_receipt_ledger_key: one entry counted twice
insert into purchase_receipt (line, quantity, ledger) select line, quantity, ledger from purchase_receipt;

-- refuse not-ordered: goods against a proposal
insert into ledger (stock, delta, kind) values (4, 2, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (1, 2, (select max(id) from ledger));

-- allow: a bar that the line asks for
insert into purchase_receipt (line, quantity, bar) values (3, 1, 3);

-- refuse receipt_of_one_thing: one bar for two
update purchase_line set over = true where id = 3;
insert into purchase_receipt (line, quantity, bar) values (3, 2, 3);

-- refuse append-only: a receipt taken back
delete from purchase_receipt;

-- refuse stock_take_one_of_bin: two stock-takes of one bin
insert into stock_take (workshop, bin, state) values (1, 1, 'open');

-- refuse stock_take_one_of_place: two stock-takes of one place of the rack
insert into stock_take (workshop, rack_place, state) values (1, 'R1', 'open');

-- refuse stock_take_of_one_place: a stock-take of nothing
insert into stock_take (workshop, state) values (1, 'open');

-- refuse step-not-allowed: approved before it is counted
select set_config('ellwand.key', 'another', true);
update stock_take set state = 'approved', counted_at = now() where id = 2;

-- refuse own-count: approved by who counted
update stock_take set state = 'approved' where id = 1;

-- allow: approved by another, and booked
select set_config('ellwand.key', 'another', true);
update stock_take set state = 'approved' where id = 1;
insert into ledger (stock, delta, kind, stock_take) select id, -1, 'adjustment', 1 from stock where part = 2;

-- refuse ledger_stock_take: booked twice
select set_config('ellwand.key', 'another', true);
update stock_take set state = 'approved' where id = 1;
insert into ledger (stock, delta, kind, stock_take) select id, -1, 'adjustment', 1 from stock, generate_series(1, 2) where part = 2;

-- refuse wrong-difference: booked before it is approved
insert into ledger (stock, delta, kind, stock_take) select id, -1, 'adjustment', 1 from stock where part = 2;

-- refuse wrong-difference: booked with another figure
select set_config('ellwand.key', 'another', true);
update stock_take set state = 'approved' where id = 1;
insert into ledger (stock, delta, kind, stock_take) select id, -2, 'adjustment', 1 from stock where part = 2;

-- refuse stock-take-counted: counted once more without a new round
insert into stock_count (stock_take, round, part, counted) values (1, 1, 2, 20);

-- refuse append-only: a count changed
update stock_count set counted = 20;

-- refuse append-only: a count deleted
delete from stock_count;

-- refuse wrong-place: parts counted at the rack
insert into stock_count (stock_take, round, part, counted) values (2, 1, 2, 20);

-- refuse count_of_one_thing: an offcut without a label and without a length
insert into stock_count_bar (stock_take, round, system, finish) values (2, 1, 'cord', 'white');

-- refuse wrong-part: a reservation of another part than the kit wants
insert into reservation (kit_line, stock, quantity) select 4, id, 1 from stock where part = 2;

-- refuse wrong-part: a pick of another part than the kit wants
insert into ledger (stock, delta, kind, kit_line) select id, -1, 'pick', 3 from stock where part = 2;

-- refuse append-only: a substitute added afterwards and taken away
insert into kit_line_substitute values (3, 1, 2);
delete from kit_line_substitute;

-- allow: a movement taken back
insert into ledger (stock, delta, kind, undoes) values (1, -20, 'opening', 1);

-- refuse ledger_undoes: taken back twice
insert into ledger (stock, delta, kind) values (1, 40, 'receipt');
insert into ledger (stock, delta, kind, undoes) select 1, -20, 'opening', 1 from generate_series(1, 2);

-- refuse cannot-undo: taken back by half
insert into ledger (stock, delta, kind, undoes) values (1, -10, 'opening', 1);

-- refuse cannot-undo: taken back in another bin's stock
insert into ledger (stock, delta, kind, undoes) values (2, -20, 'opening', 1);

-- refuse ledger_direction: a receipt that takes away
insert into ledger (stock, delta, kind) values (1, -1, 'receipt');

-- refuse ledger_direction: a pick that brings
insert into ledger (stock, delta, kind, kit_line) values (1, 1, 'pick', 1);

-- refuse wrong-part: another part picked into a line
insert into ledger (stock, delta, kind, kit_line) values (2, -1, 'pick', 1);

-- refuse wrong-part: another part reserved for a line
insert into reservation (kit_line, stock, quantity) values (1, 2, 1);

-- refuse wrong-part: a reservation carried over to another part
update reservation set stock = 1;

-- refuse append-only: a place that turns into one of another part
update stock set part = 2 where id = 1;

-- refuse append-only: a line that was picked for turns into one of another part
insert into ledger (stock, delta, kind, kit_line) values (1, -1, 'pick', 1);
update kit_line set part = 2, role = 'other' where id = 1;

-- refuse reserved_within_on_hand: what is reserved for one kit is picked for another
insert into kit_line (kit, position, part, role, wanted) values (2, 2, 3, 'more', 11);
insert into ledger (stock, delta, kind, kit_line) select 3, -11, 'pick', max(id) from kit_line;

-- refuse not-packed: a parcel of an order that is not packed
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');

-- refuse parcel_check: the third of two parcels
set session_replication_role = replica;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 3, 2, 100, 'packed');

-- refuse parcel_check1: a carrier without a tube or box
set session_replication_role = replica;
insert into parcel (workshop, job_order, number, of, mass, carrier, state) values (1, 1, 1, 1, 100, 'c', 'packed');

-- refuse parcel_number: two closed parcels of one number
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed'), (1, 1, 1, 1, 100, 'packed');

-- refuse parcel_thing_piece_key: one piece in two parcels
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 2, 100, 'packed'), (1, 1, 2, 2, 100, 'packed');
insert into parcel_thing (parcel, piece) select id, 1 from parcel;

-- refuse conflict: a piece of another order in a parcel
update job_order set state = 'packed' where id = 2;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 2, 1, 1, 100, 'packed');
insert into parcel_thing (parcel, piece) select id, 1 from parcel;

-- refuse parcels-here: an order dispatched while a parcel is still here
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
update job_order set state = 'dispatched' where id = 1;

-- refuse conflict: an empty parcel is sent
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
update parcel set state = 'sent';

-- allow: a parcel with its piece is sent
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
insert into parcel_thing (parcel, piece) select id, 1 from parcel;
update parcel set state = 'sent';

-- refuse parcel-sent: something taken out of a parcel that has gone
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
insert into parcel_thing (parcel, piece) select id, 1 from parcel;
update parcel set state = 'sent';
delete from parcel_thing;

-- refuse parcels-closed: an order opened while its parcels are closed
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
update job_order set state = 'taken' where id = 1;

-- refuse conflict: a window that moves to another order
update job_window set job_order = 2 where job_order = 1;

-- allow: a window that a change of its order gave up
insert into job_order (workshop, number, customer, due, priority, state, earlier_of) values (1, 'A1-R1', 'x', '2030-01-01', 5, 'taken', 1);
update job_window set job_order = (select id from job_order where number = 'A1-R1') where job_order = 1;

-- refuse parcels-closed: a window given up while its piece lies in a closed parcel
update job_order set state = 'packed' where id = 1;
insert into parcel (workshop, job_order, number, of, mass, state) values (1, 1, 1, 1, 100, 'packed');
insert into parcel_thing (parcel, piece) select id, 1 from parcel;
insert into job_order (workshop, number, customer, due, priority, state, earlier_of) values (1, 'A1-R1', 'x', '2030-01-01', 5, 'taken', 1);
update job_window set job_order = (select id from job_order where number = 'A1-R1') where job_order = 1;

-- refuse earlier_of_another: an order that was given up of itself
update job_order set earlier_of = id where id = 1;

-- refuse append-only: what was changed is rewritten
insert into order_change (workshop, job_order, what) values (1, 1, '{"due": ["2030-01-01", "2030-01-02"]}');
update order_change set what = '{}';
