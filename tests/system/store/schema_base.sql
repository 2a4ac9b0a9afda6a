-- A small workshop, all of it invented, for the blocks of schema_refused.sql to break. Ids are looked up by `the`.
set search_path = ellwand, pg_temp;
select set_config('ellwand.key', 'test', false), set_config('ellwand.request', 'r1', false),
       set_config('ellwand.reason', 'test', false);

insert into workshop (name, title) values ('shop', 'An invented workshop'), ('other', 'Another invented workshop');
insert into catalogue_version (workshop, version, key_name) values (1, 1, 'test');
insert into finish values (1, 'white', 1, '{}');
insert into track_system values (1, 'cord', 'Corded', true, 1, '{}');
insert into system_finish values (1, 'cord', 'white');
insert into saw (workshop, code, name, kerf, lead_trim, tail_clamp, position, data) values (1, 'saw', 'Saw', 22, 100, 0, 1, '{}');
insert into label_stock values (1, 'small', 620, 290, 1, '{}');
insert into part (workshop, code, name, unit, position, data) values
    (1, 'pulley', 'Tension pulley', 'each', 1, '{}'), (1, 'screw', 'Screw', 'each', 2, '{}'),
    (1, 'glider', 'Glider', 'each', 3, '{}');
insert into bin (workshop, code, walk) values (1, 'A1', 1);
insert into stock (workshop, part, bin) select 1, id, 1 from part;
insert into ledger (stock, delta, kind) select id, 20, 'opening' from stock;

insert into job_order (workshop, number, customer, due, priority, state) values
    (1, 'A1', 'An invented customer', '2030-01-01', 5, 'taken'), (1, 'A2', 'An invented customer', '2030-01-01', 5, 'taken');
insert into job_window (workshop, job_order, position, name, system, finish, corded, survey, takeoff, catalogue_version)
    select 1, id, 1, 'W1', 'cord', 'white', true, '{}', case number when 'A1'
        then '{"cut_total": 3000, "pieces": [{"length": 1000}, {"length": 1000}, {"length": 1000}]}' else '{}' end::jsonb, 1
    from job_order order by id;
insert into piece (workshop, job_window, number, of, side, system, finish, length, state)
    select 1, 1, number, 3, 'whole', 'cord', 'white', 10000, 'waiting' from generate_series(1, 3) number;
-- A track that could be joined in two ways.
insert into job_window (workshop, job_order, position, name, system, finish, corded, survey, takeoff, catalogue_version)
    select 1, 1, 2, 'W2', 'cord', 'white', true, '{}', '{"cut_total": 3000,
        "pieces": [{"piece": 1, "length": 1200}, {"piece": 2, "length": 1800}],
        "brackets": [{"from_left": 100, "kind": "bracket"}, {"from_left": 1200, "kind": "join"}, {"from_left": 1500, "kind": "bracket"}],
        "splits": [{"joins": [1200], "pieces": [1200, 1800], "hanging": {"reaction": 1}},
                   {"joins": [1500], "pieces": [1500, 1500], "hanging": {"reaction": 2}}]}', 1;
insert into piece (workshop, job_window, number, of, side, system, finish, length, state) values
    (1, 3, 1, 2, 'left', 'cord', 'white', 12000, 'waiting'), (1, 3, 2, 2, 'right', 'cord', 'white', 18000, 'waiting');
insert into kit (workshop, job_window, corded, state) values (1, 1, true, 'waiting');
insert into kit_line (kit, position, part, role, wanted) values
    (1, 1, 1, 'tension-pulley', 1), (1, 2, 2, 'tension-pulley-screw', 2), (1, 3, 3, '', 10);
-- A second corded kit, whose list somehow lacks the pulley.
insert into kit (workshop, job_window, corded, state) values (1, 2, true, 'waiting');
insert into kit_line (kit, position, part, role, wanted) values (2, 1, 3, '', 1);
insert into reservation (kit_line, stock, quantity) values (3, 3, 10);

insert into bar (workshop, kind, system, finish, length, origin, state) select 1, 'bar', 'cord', 'white', 60000, 'bought', 'on-rack'
    from generate_series(1, 3);
insert into plan (workshop, system, finish, saw, state, time_limit_ms) select 1, 'cord', 'white', 'saw', 'queued', 1000
    from generate_series(1, 2);
update plan set state = 'solving';
update plan set state = 'ready', result = '{}';
insert into plan_bar (workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf, remainder, returns)
    values (1, 1, 1, 1, 'planned', 60000, 100, 1, 22, 49878, true);
update piece set state = 'planned', plan_bar = 1, sequence = 1 where id = 1;
update bar set state = 'bound' where id = 1;

-- Four purchases: one proposed, one ordered with a line of parts and one of bars, one still empty, one in the other workshop.
insert into part (workshop, code, name, unit, position, data) values (1, 'plug', 'Plug', 'each', 4, '{}');
insert into stock (workshop, part, bin) values (1, 4, 1);
insert into purchase (workshop, supplier, lead_days, state) values
    (1, 'mill', 10, 'proposed'), (1, 'mill', 10, 'proposed'), (1, 'mill', 10, 'proposed'), (2, 'mill', 10, 'proposed');
insert into purchase_line (purchase, part, quantity) values (1, 4, 5), (2, 4, 5);
insert into purchase_line (purchase, system, finish, length, quantity) values (2, 'cord', 'white', 60000, 1);
update purchase set state = 'ordered', ordered_at = now(), expected = '2030-01-01' where id = 2;
insert into ledger (stock, delta, kind) values (4, 2, 'receipt');
insert into purchase_receipt (line, quantity, ledger) values (2, 2, (select max(id) from ledger));

-- A stock-take of the bin that counted one screw less than the books have, one of the rack, and one that is over.
insert into stock_take (workshop, bin, state) values (1, 1, 'open');
insert into stock_take (workshop, rack_place, state) values (1, 'R1', 'open');
insert into stock_count (stock_take, round, part, counted) values (1, 1, 2, 19);
update stock_take set state = 'counted', counted_at = now() where id = 1;
