# SPDX-License-Identifier: Apache-2.0
"""Reports: their figures agree with each other, with the plans, and with the ledger row by row."""
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "desk_stores"))
import small  # noqa: E402  (the path is set above)
from small import refused  # noqa: E402

MIGRATIONS = small.harness.SOURCE / "sql" / "migrations"


def whole(client, verb, body=None, limit=3):
    """A report in one page, which must be what its small pages give together."""
    report = client.ask(verb, dict(body or {}, limit=500))
    assert report["next"] is None
    rows, after = [], None
    while True:
        page = client.ask(verb, dict(body or {}, limit=limit, **({} if after is None else {"after": after})))
        assert len(page["rows"]) <= limit
        assert page.get("totals") == report.get("totals"), "totals are of all pages"
        rows += page["rows"]
        after = page["next"]
        if after is None:
            break
    assert rows == report["rows"], f"{verb}: pages and whole differ"
    return report


def number(workshop, statement):
    return int(workshop.sql(f"set search_path = ellwand; {statement}")[0] or 0)


def check_stock(workshop, manager):
    """The value of the parts is that of the ledger, entry by entry; of bars and offcuts, that of the rack."""
    report = whole(manager, "report.stock")
    rows, totals = report["rows"], report["totals"]
    ledger = number(workshop, "select sum(value) from (select round(sum(delta) * (part.data ->> 'price')::numeric /"
                              " case unit when 'length' then 10000 else 1 end) as value from ledger join stock on stock.id = ledger.stock"
                              " join part on part.id = stock.part group by part.id) parts")
    assert totals["parts_value"] == ledger > 0, (totals, ledger)
    for kind in ("part", "bar", "offcut"):
        assert sum(row["value"] for row in rows if row["kind"] == kind) == totals[f"{kind}s_value"]
    assert totals["value"] == sum(row["value"] for row in rows) == sum(group["value"] for group in report["groups"])
    rack = manager.ask("report.rack")
    assert rack["totals"]["value"] == totals["bars_value"] + totals["offcuts_value"] > 0
    assert sum(row["on_hand"] for row in rows if row["kind"] == "bar") == rack["totals"]["bars"]
    for row in rows[:5]:
        listed = small.stock_of(manager, row["code"])
        assert (row["on_hand"], row["reserved"]) == (listed["on_hand"], listed["reserved"]), row


def check_rack(manager):
    report = whole(manager, "report.rack", {"by_batch": True}, limit=2)
    listed = manager.ask("rack.list", {"limit": 1000})
    totals = report["totals"]
    assert (totals["count"], totals["length"]) == (listed["count"], listed["length"]), totals
    for field in ("count", "length", "value"):
        assert abs(sum(row[field] for row in report["rows"]) - totals[field]) < 0.05
    assert {row["batch"] for row in report["rows"] if "batch" in row} >= {"1", "2"}, report["rows"]
    assert sum(age["count"] for age in report["ages"]) == totals["offcuts"] > 0
    assert manager.ask("report.rack", {"system": "NONE"})["totals"]["count"] == 0


LENGTHS = ("opened", "used", "correction", "pieces_length", "kerf", "trim", "mis_cut", "kept", "scrap", "recut")


def check_yield(workshop, manager):
    """The saw's book agrees with the plans, whichever way it is cut."""
    reports = {by: manager.ask("report.yield", {"by": by}) for by in ("system", "finish", "saw", "week")}
    totals = reports["week"]["totals"]
    for by, report in reports.items():
        assert report["totals"] == totals, by
        for row in report["rows"] + [totals]:
            came = row["opened"] + row["used"] + row["correction"]
            went = sum(row[name] for name in ("pieces_length", "kerf", "trim", "mis_cut", "kept", "scrap"))
            assert abs(came - went) < 0.05, row
            assert row["yield"] is None or abs(row["yield"] - (row["pieces_length"] - row["recut"]) / (came - row["kept"])) < 1e-4
        for name in LENGTHS + ("bars", "offcuts", "pieces"):
            assert abs(sum(row[name] for row in report["rows"]) - totals[name]) < 0.05, (by, name)
    planned = dict.fromkeys(("opened", "pieces", "trim", "left"), 0)
    for plan in manager.ask("plan.list", {"state": "done"})["plans"]:
        for bar in manager.ask("plan.show", {"plan": plan["plan"]})["bars"]:
            planned["opened"] += bar["length"]
            planned["trim"] += bar["lead_trim"]
            planned["left"] += bar["remainder"]
            planned["pieces"] += sum(piece["length"] for piece in bar["pieces"])
    # One piece was cut again since, so the plan has it no longer.
    assert abs(planned["opened"] - totals["opened"] - totals["used"]) < 0.05, (planned, totals)
    assert abs(planned["pieces"] - totals["pieces_length"] + totals["recut"]) < 0.05, (planned, totals)
    assert abs(planned["left"] - totals["kept"] - totals["scrap"]) < 0.05 and abs(planned["trim"] - totals["trim"]) < 0.05
    assert totals["recut"] > 0 and totals["mis_cut"] > 0, "nothing was spoilt, so that is not tested"
    assert manager.ask("report.yield", {"system": "NONE"})["totals"]["yield"] is None
    refused(lambda: manager.ask("report.yield", {"by": "moon"}), "unknown-choice")


def check_metres(workshop, manager):
    """What was bought, found and put back is in pieces, kerf, trims, scrap, on the rack, or written off."""
    report, made = manager.ask("report.metres"), manager.ask("report.yield")["totals"]
    totals = report["totals"]
    assert totals["difference"] == 0 and all(row["difference"] == 0 for row in report["rows"])
    for name in totals:
        assert abs(sum(row[name] for row in report["rows"]) - totals[name]) < 0.05, name
    assert totals["pieces"] == made["pieces_length"] and totals["scrap"] == made["scrap"] and totals["kerf"] == made["kerf"]
    rack = manager.ask("report.rack")["totals"]
    assert abs(totals["bars"] + totals["offcuts"] - rack["length"]) < 0.05
    assert totals["bought"] * 10 == number(workshop, "select sum(length) from bar where origin = 'bought'") > 0
    assert totals["found"] == 900 and totals["written_off"] > 0 and totals["put_back"] > 0, totals


def check_shortages(manager, desk):
    report = whole(desk, "report.shortages")
    parts = [row for row in report["rows"] if row["kind"] == "part"]
    listed = desk.ask("stock.list", {"short": True, "limit": 1000})["parts"]
    assert {row["code"]: row["short"] for row in parts} == {part["part"]: part["short"] for part in listed} and parts
    for row in parts:
        assert abs(sum(held["short"] for held in row["holds"]) - row["short"]) < 0.05 and row["due"] == row["holds"][0]["due"]
        assert row["orders"] == len({held["order"] for held in row["holds"]})
    # The track of the order that waits: no bar of its kind is free.
    track = [row for row in report["rows"] if row["kind"] == "track"]
    waiting = sum(piece["length"] for window in desk.ask("order.show", {"order": "A1004"})["windows"]
                  for piece in window["pieces"] if window["system"] == "KITE")
    assert track and track[0]["short"] >= waiting > 0, (track, waiting)
    code = parts[0]["code"]
    purchase = manager.ask("purchase.propose", {"part": code})["purchases"][0]["purchase"]
    manager.ask("purchase.order", {"purchase": purchase, "expected": "2031-02-03"})
    row = next(row for row in desk.ask("report.shortages")["rows"] if row["code"] == code)
    assert row["expected"] == "2031-02-03" and row["on_order"] > 0, row


def check_late(workshop, desk):
    assert desk.ask("report.late")["rows"] == []
    workshop.sql("update ellwand.job_order set due = current_date - 3 where number in ('A1004', 'A1001')")
    report = whole(desk, "report.late", limit=1)
    assert report["totals"] == {"orders": 2, "late": 2}
    rows = {row["order"]: row for row in report["rows"]}
    assert rows["A1004"]["days_late"] == 3 and "in no plan" in rows["A1004"]["waits"] and "short of" in rows["A1004"]["waits"]
    desk.ask("order.hold", {"order": "A1004", "reason": "test"})
    assert desk.ask("report.late")["rows"][1]["waits"].startswith("held")
    workshop.sql("update ellwand.job_order set due = current_date + 3 where number = 'A1001'")
    assert [row["days_late"] for row in desk.ask("report.late", {"ahead": 4})["rows"]] == [3, -3]


def check_use(workshop, manager, stores):
    """A dispatched kit holds what the take-off said; what stock loses beside is told apart."""
    rows = {row["code"]: row for row in whole(manager, "report.use")["rows"]}
    told = number(workshop, "select sum(wanted) from kit_line join kit on kit.id = kit_line.kit join part on part.id = kit_line.part"
                            " where kit.state = 'dispatched' and part.unit = 'each'")
    assert sum(row["told"] for row in rows.values() if row["kind"] == "part" and row["unit"] == "each") == told > 0
    assert all(row["used"] == row["told"] for row in rows.values() if row["kind"] == "part"), rows
    code = next(code for code, row in rows.items() if row["kind"] == "part" and row["unit"] == "each")
    small.receive(stores, code, "A2", 9)
    stores.ask("stock.adjust", {"reason": "trodden on", "lines": [{"part": code, "bin": "A2", "by": -2}]})
    row = next(row for row in manager.ask("report.use")["rows"] if row["code"] == code)
    assert (row["lost"], row["over"]) == (2, 2) and abs(row["share"] - 2 / row["told"]) < 1e-4, row
    track = [row for row in rows.values() if row["kind"] == "track"]
    assert any(row["over"] > 0 for row in track), "the piece cut again is not told"


def check_dead(workshop, manager, stores):
    assert manager.ask("report.dead")["rows"] == [], "what came lately is not dead"
    code, price = workshop.sql("select code, data ->> 'price' from ellwand.part where unit = 'each' and not exists"
                               " (select from ellwand.kit_line where part = part.id) order by code limit 1")[0].split("|")
    small.receive(stores, code, "B1", 7)
    move = ("set session_replication_role = replica; set search_path = ellwand;"
            " update part_week set week = week {} 7 * 30 where part = (select id from part where code = '{}')")
    workshop.sql(move.format("-", code))
    (row,) = manager.ask("report.dead")["rows"]
    assert (row["part"], row["on_hand"], row["value"]) == (code, 7, 7 * int(price)) and "last_used" not in row, row
    assert manager.ask("report.dead", {"weeks": 31})["rows"] == []
    workshop.sql(move.format("+", code))


def check_classes(workshop, manager):
    """What a new week's first order or pick finds: the dearest by what was asked for are A, what nobody asked for is C."""
    workshop.sql("select ellwand.reckon_classes(1)")
    lines = [line for line in manager.ask("reorder.list", {"limit": 1000})["lines"] if line["kind"] == "part"]
    asked = {}
    for order in manager.ask("order.list", {"open": False})["orders"]:
        for window in manager.ask("order.show", {"order": order["order"], "full": True})["windows"] if order["state"] != "cancelled" else ():
            for part in window["takeoff"]["parts"]:
                asked[part["part"]] = asked.get(part["part"], 0) + part["quantity"]
    worth = {line["code"]: asked.get(line["code"], 0) * (line["price"] or 0) / (1000 if line["unit"] == "length" else 1) for line in lines}
    dearest = max(worth, key=worth.get)
    classes = {line["code"]: line["class"] for line in lines}
    assert classes[dearest] == "A" and set(classes.values()) == {"A", "B", "C"}, classes
    assert all(classes[code] == "C" for code in classes if code not in asked and worth[code] == 0), classes


def check_weeks(workshop):
    """What is put back counts in the week in which it was picked, the latest pick first."""
    line, stock = workshop.sql("select kit_line.id, stock from ellwand.kit_line join ellwand.reservation on kit_line = kit_line.id"
                               " where wanted >= 5 and picked = 0 and not ellwand.one_batch(kit_line.part) limit 1")[0].split("|")
    entries = "".join(f"insert into ledger (stock, delta, kind, kit_line, at) values ({stock}, {delta}, '{kind}', {of_line},"
                      f" now() - interval '{days} days');"
                      for days, delta, kind, of_line in ((0, 50, "receipt", "null"), (21, -3, "pick", line), (14, -2, "pick", line),
                                                         (7, 1, "put-back", line), (0, 3, "put-back", line)))
    told = workshop.sql(f"begin; set search_path = ellwand; {entries} select (week_of(now()) - week) / 7, part_week.used, part_year.used"
                        f" from part_week join part_year using (part) join stock using (part)"
                        f" where stock.id = {stock} and week < week_of(now()) order by week; rollback")
    assert [row.split("|")[:2] for row in told] == [["3", "1"], ["2", "0"]], told
    # Another part stood in for some of it: what comes back of the first leaves the weeks of the other alone.
    other = workshop.sql(f"select id from ellwand.stock where part <> (select part from ellwand.stock where id = {stock})"
                         f" and on_hand - reserved >= 1 limit 1")[0]
    entries = (f"insert into kit_line_substitute select {line}, 8, part from stock where id = {other};"
               + "".join(f"insert into ledger (stock, delta, kind, kit_line, at) values ({where}, {delta}, '{kind}', {of_line},"
                         f" now() - interval '{days} days');"
                         for where, days, delta, kind, of_line in ((stock, 0, 50, "receipt", "null"), (stock, 21, -2, "pick", line),
                                                                   (other, 14, -1, "pick", line), (stock, 0, 2, "put-back", line))))
    told = workshop.sql(f"begin; set search_path = ellwand; {entries} select (week_of(now()) - week) / 7, part_week.used"
                        f" from part_week where part in (select part from stock where id in ({stock}, {other}))"
                        f" and week < week_of(now()) order by week; rollback")
    assert told == ["3|0", "2|1"], told


SUMS = ("part_week", "part_year", "asked_week", "asked_length", "sent_week", "cut_week", "bar_week", "piece_month", "rack_week")
# What was undone leaves a row of nothing.
WHERE = {"part_year": " where used <> 0", "asked_week": " where asked <> 0", "asked_length": " where pieces <> 0", "piece_month": " where pieces <> 0"}


def check_backfill(workshop):
    """A database that is older than the sums gets the same ones when it is migrated."""
    def sums():
        return {table: sorted(workshop.sql(f"select * from ellwand.{table} t" + WHERE.get(table, "")))
                for table in SUMS}

    kept = sums()
    fill = "".join((MIGRATIONS / name).read_text().split("-- What there was before these sums.")[1].split(end)[0]
                   for name, end in (("0100_sums_by_week.sql", "-- What lies on the rack"), ("0170_demand_as_asked.sql", "-- The classes follow."),
                                     ("0172_lengths_asked.sql", "grant select")))
    script = f"set search_path = ellwand; set session_replication_role = replica; delete from open_week; " \
             f"{' '.join(f'delete from {table};' for table in SUMS)} {fill}"
    small.harness.run("psql", "-qX", "-v", "ON_ERROR_STOP=1", "-d", workshop.database, input=script)
    again = sums()
    for table in SUMS:
        assert again[table] == kept[table], (table, set(again[table]) ^ set(kept[table]))


def build(workshop):
    small.fill(workshop)
    desk, stores, saw, manager = (workshop.client(role) for role in ("desk", "stores", "saw", "manager"))
    desk.ask("order.take", small.order("A1002"))
    kits = [kit["kit"] for kit in stores.ask("kit.list", {"order": "A1002"})["kits"]]
    small.fetch_all(stores, kits)
    small.pick_all(stores, kits)
    for system, finish in (("LARK", "WH"), ("WREN", "WH")):
        saw.ask("rack.add", {"kind": "bar", "system": system, "finish": finish, "length": 6000, "count": 2, "batch": "1"})
        saw.ask("rack.add", {"kind": "bar", "system": system, "finish": finish, "length": 6000, "count": 1, "batch": "2"})
    # One bar is found longer than booked, one piece is mis-cut, one is cut again later.
    spoilt = False
    for plan in small.release_plans(workshop, "A1002"):
        for bar in saw.ask("plan.show", {"plan": plan})["bars"]:
            body = {"plan_bar": bar["plan_bar"], "remainder": bar["remainder"] + 1.5}
            if not spoilt:
                body["spoiled"] = [bar["pieces"][0]["piece"]]
            spoilt = True
            saw.ask("bar.cut", body)
    small.cut_order(workshop, "A1002")
    piece = next(window["pieces"][0] for window in saw.ask("order.show", {"order": "A1002"})["windows"])
    saw.ask("piece.recut", {"piece": piece["code"], "reason": "scratched"})
    small.cut_order(workshop, "A1002")
    small.match_all(stores, kits)
    for kit in kits:
        stores.ask("kit.pack", {"kit": kit})
    desk.ask("order.dispatch", {"order": "A1002"})
    # A cut order is cancelled; an offcut is found; another is written off; two orders wait.
    desk.ask("order.take", small.order("A1009"))
    small.cut_order(workshop, "A1009")
    desk.ask("order.cancel", {"order": "A1009", "reason": "test"})
    saw.ask("rack.add", {"kind": "offcut", "system": "LARK", "finish": "WH", "length": 900})
    lost = saw.ask("rack.list", {"kind": "offcut"})["bars"][0]
    saw.ask("rack.write-off", {"bar": lost["code"], "reason": "bent"})
    desk.ask("order.take", small.order("A1001"))
    small.fetch_all(stores, [kit["kit"] for kit in stores.ask("kit.list", {"order": "A1001"})["kits"]])
    desk.ask("order.take", small.order("A1004"))
    return desk, stores, manager


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        desk, stores, manager = build(workshop)
        small.assert_clean(manager)
        check_stock(workshop, manager)
        check_rack(manager)
        check_yield(workshop, manager)
        check_metres(workshop, manager)
        check_shortages(manager, desk)
        check_use(workshop, manager, stores)
        check_dead(workshop, manager, stores)
        check_classes(workshop, manager)
        check_weeks(workshop)
        check_backfill(workshop)
        check_late(workshop, desk)
        refused(lambda: stores.ask("report.stock"), "not-allowed")
        refused(lambda: desk.ask("report.late", {"limit": 1001}), "out-of-range")
        small.assert_clean(manager)
        workshop.stop()


main()
