# SPDX-License-Identifier: Apache-2.0
"""The audit finds what is broken: each invariant is broken past all triggers, as only a person with the database's own rights
or a fault of the disk could, and the statement that watches it must say so."""
import json
import re

import small

STATEMENTS = small.harness.SOURCE / "sql" / "queries" / "audit"

# Who watches, what the message must hold, and how it is broken. Each is taken back again.
BREAKS = [
    ("balance", "booked with", "update bar set length = length - 1 where state = 'cut'"),
    ("balance", "are not", "alter table plan_bar drop constraint length_balance;"
                           " update plan_bar set waste = waste + 1 where id = (select min(id) from plan_bar where state = 'cut')"),
    ("balance", "more than the", "update piece set length = length + 100000 where state = 'matched'"),
    ("balance", "more than its", "alter table plan_bar drop constraint length_balance;"
                                 " update plan_bar set kerf_length = kerf_length + 100000 where state = 'cut'"),
    ("balance", "do not fit", "update plan_bar set remainder = remainder + 1000 where state = 'released'"),
    ("balance", "no offcut came", "update plan_bar set offcut = null where returns and state = 'cut'"),
    ("balance", "cut again", "update piece set plan_bar = null, sequence = null, state = 'cancelled' where state = 'matched'"),
    ("balance", "had a remainder", "update bar set length = length + 1 where origin = 'cut'"),
    ("balance", "was put back from", "update bar set length = length + 1 where origin = 'put-back'"),
    ("stock", "its ledger sums to", "update stock set on_hand = on_hand + 1 where id = (select min(id) from stock)"),
    ("stock", "its ledger sums to", "delete from ledger where id = (select min(id) from ledger)"),
    ("stock", "its reservations sum to", "update stock set reserved = 0 where reserved > 0"),
    ("stock", "of 0 on hand", "alter table stock drop constraint reserved_within_on_hand; update stock set on_hand = 0 where reserved > 0"),
    ("stock", "the ledger says", "update kit_line set picked = picked - 1 where picked > 0"),
    ("stock", "reserved, but its reservations", "update kit_line set reserved = reserved + 1 where picked = 0"),
    ("stock", "which its kit is not", "update kit_line set cancelled = true where picked = 0"),
    ("stock", "wanted", "update reservation set quantity = quantity + 1000"),
    ("stock", "its receipts sum to", "update purchase_line set received = received - 1 where part is not null"),
    ("stock", "onto the rack", "update bar set origin = 'found' where id in (select bar from purchase_receipt)"),
    ("stock", "came into the bins", "update ledger set kind = 'opening' where id in (select ledger from purchase_receipt)"),
    ("stock", "nobody said", "alter table purchase_line drop constraint received_within_ordered;"
                             " update purchase_line set quantity = 1 where part is not null"),
    ("one_plan", "live plans", "drop index plan_bar_one_live_plan; insert into plan_bar (workshop, plan, sequence, bar, state, bar_length,"
                               " lead_trim, kerfs, kerf, remainder, returns) select workshop, plan, 1000, bar, state, bar_length, lead_trim,"
                               " kerfs, kerf, remainder, returns from plan_bar where state = 'released' limit 1"),
    ("one_plan", "was cut in 2 plans", "insert into plan_bar (workshop, plan, sequence, bar, state, bar_length, lead_trim, kerfs, kerf,"
                                       " remainder, returns, pieces_length, kerf_length, waste, correction) select workshop, plan, 1000, bar,"
                                       " state, bar_length, lead_trim, kerfs, kerf, remainder, returns, pieces_length, kerf_length, waste,"
                                       " correction from plan_bar where state = 'cut' limit 1"),
    ("one_plan", "has it as", "update bar set state = 'on-rack' where state = 'bound'"),
    ("one_plan", "no plan has it so", "update bar set state = 'bound' where state = 'on-rack'"),
    ("one_plan", "but its bar", "update plan set state = 'done' where state = 'released'"),
    ("one_plan", "system and finish of plan", "update bar set finish = 'XX' where state = 'cut'"),
    ("one_plan", "but its bar of plan", "update piece set state = 'planned' where state = 'matched'"),
    ("one_plan", "on no bar", "alter table piece drop constraint piece_check1; update piece set plan_bar = null, sequence = null"
                              " where state = 'matched'"),
    ("one_plan", "bar it is cut from", "update piece set system = 'XX' where state = 'matched'"),
    ("one_plan", "Two pieces", "drop index piece_place; update piece set sequence = 1 where plan_bar in"
                               " (select plan_bar from piece group by plan_bar having count(*) > 1)"),
    ("one_plan", "reservations", "update kit set state = 'complete' where id in (select kit from kit_line join reservation"
                                 " on kit_line = kit_line.id)"),
    ("one_plan", "another part", "update reservation set stock = (select max(id) from stock) where id = (select min(id) from reservation)"),
    ("requests", "has no answer", "update request_log set reply = null where verb = 'kit.pick'"),
    ("requests", "never answered", "delete from request_log where verb = 'order.take'"),
    ("requests", "changed stock", "delete from request_log where verb = 'stock.receive'"),
    ("labels", "are listed", "delete from label where id = (select min(id) from label)"),
    ("labels", "marks", "update print_job set payload = (select jsonb_agg(item - 'reprint') from jsonb_array_elements(payload) item)"
                        " where id = (select print_job from label where copy > 0)"),
    ("labels", "Copy 1", "update label set copy = 2 where copy > 0"),
    ("labels", "does not say why", "update print_job set state = 'held', message = ''"),
    ("labels", "nobody knows when", "update print_job set printed_at = null where state = 'printed'"),
    ("labels", "says it was printed", "update print_job set state = 'queued' where state = 'printed'"),
    ("labels", "nobody has it", "update print_job set state = 'printing', printed_at = null, leased_by = null"),
    ("labels", "another kind", "update label set kind = 'bin' where id = (select min(id) from label)"),
    ("kits", "strangle", "update kit_line set picked = wanted - 1 where role = 'tension-pulley-screw'"),
    ("kits", "strangle", "delete from kit_line where role = 'tension-pulley'"),
    ("kits", "has no tension-pulley", "delete from kit_line where role = 'tension-pulley'"),
    ("kits", "not marked as corded", "update kit set corded = false"),
    ("kits", "never picked", "update kit set state = 'complete'"),
    ("kits", "not matched with it", "update piece set state = 'cut' where state = 'matched'"),
    ("kits", "but its kit", "update job_order set state = 'packed'"),
    ("kits", "but its order", "update job_order set state = 'cancelled'"),
    ("history", "its history ends with", "update job_order set state = 'held' where state = 'taken'"),
    ("history", "its history ends with", "update purchase set state = 'proposed'"),
    ("history", "nothing", "delete from history where kind = 'kit'"),
    ("history", "not there itself", "delete from print_job"),
    ("history", "not an allowed step", "update history set to_state = 'gone' where kind = 'piece' and to_state = 'cut'"),
    ("history", "then left", "update history set from_state = 'waiting' where kind = 'kit' and to_state = 'complete'"),
    ("history", "No reason", "update history set reason = '' where kind = 'order'"),
    ("sums", "those of its ledger", "update part_week set used = used + 1 where used > 0"),
    ("sums", "those of its ledger", "delete from part_week"),
    ("sums", "not those by week", "update part_year set used = used + 1 where used > 0"),
    ("sums", "asked for", "update asked_week set asked = asked + 1"),
    ("sums", "asked for", "delete from asked_week"),
    ("sums", "asked for", "update asked_week set week = week - 7"),
    ("sums", "lengths asked for", "update asked_length set pieces = pieces + 1"),
    ("sums", "lengths asked for", "delete from asked_length"),
    ("sums", "dispatched kits", "insert into sent_week select id, '2026-01-05', 1, 1, 1 from part limit 1"),
    ("sums", "of its cuts", "update cut_week set pieces_length = pieces_length + 1, scrap_length = scrap_length - 1"),
    ("sums", "bars by length", "update bar_week set opened = opened + 1"),
    ("sums", "of its rack", "update rack_week set bought_length = bought_length + 1"),
    ("sums", "nor written off", "update bar set length = length + 1 where origin = 'cut' and state = 'on-rack'"),
    ("stock_takes", "is booked", "update stock_count set counted = counted + 1"),
    ("stock_takes", "is booked", "delete from ledger where stock_take is not null"),
    ("stock_takes", "counted no such part", "update ledger set stock_take = (select max(id) from stock_take) where stock_take is not null"),
    ("stock_takes", "counted it and approved it", "update stock_count set key_name = 'manager'"),
    ("stock_takes", "not found by it", "update bar set state = 'on-rack' where id in (select bar from stock_take_missing)"),
    ("history", "Nobody is named", "update history set key_name = '' where kind = 'bar'"),
]


def buy(workshop):
    """A purchase of a part and of bars, which came."""
    manager = workshop.client("manager")
    workshop.client("desk").ask("order.take", dict(small.order("A1001"), order="WANTED"))
    purchase = manager.ask("purchase.propose", {"part": "LK-GLIDER"})["purchases"][0]["purchase"]
    bars = {"system": "LARK", "finish": "WH", "length": 6000}
    lines = manager.ask("purchase.change", {"purchase": purchase, "add": [dict(bars, quantity=1)]})["lines"]
    manager.ask("purchase.order", {"purchase": purchase})
    manager.ask("purchase.receive", {"purchase": purchase, "bars": [bars], "lines": [
        {"part": line["code"], "bin": "C1", "quantity": line["quantity"]} for line in lines if line["kind"] == "part"]})
    workshop.client("desk").ask("order.cancel", {"order": "WANTED", "reason": "test"})


def count(workshop):
    """A bin in which one is missing, and a place of the rack that is empty where an offcut should be."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    small.receive(stores, "LK-ARM", "B1", 3)
    workshop.client("saw").ask("rack.add", {"kind": "offcut", "system": "LARK", "finish": "WH", "length": 900, "place": "R1"})
    takes = stores.ask("count.open", {"bins": ["B1"], "places": ["R1"], "value": 1000000})["stock_takes"]
    parts = {(line["part"], line["batch"]) for line in stores.ask("count.show", {"stock_takes": takes[:1]})["stock_takes"][0]["lines"]}
    held = {part: next(place["on_hand"] for place in small.stock_of(stores, part)["bins"] if place["bin"] == "B1") for part, _ in parts}
    stores.ask("count.enter", {"bin": "B1", "lines": [{"part": part, "counted": held[part] - (part == "LK-ARM")} for part in held]})
    for _ in range(2):
        stores.ask("count.enter", {"place": "R1"})
    manager.ask("count.approve", {"stock_takes": takes})


def build(workshop):
    """Orders in every state that an invariant speaks of."""
    small.fill(workshop)
    desk, stores, saw = workshop.client("desk"), workshop.client("stores"), workshop.client("saw")
    desk.ask("order.take", small.order("A1002"))
    kits = [kit["kit"] for kit in stores.ask("kit.list", {"order": "A1002"})["kits"]]
    small.fetch_all(stores, kits)
    small.pick_all(stores, kits)
    small.cut_order(workshop, "A1002")
    small.match_all(stores, kits)
    stores.ask("kit.pack", {"kit": kits[0]})
    small.harness.until(20, "labels are printed", lambda: not saw.ask("print.list")["jobs"])
    saw.ask("label.reprint", {"code": kits[0]})
    buy(workshop)
    count(workshop)
    # An order whose cut pieces went back to the rack, one at the saw with some of its parts reserved.
    desk.ask("order.take", small.order("A1009"))
    small.cut_order(workshop, "A1009")
    desk.ask("order.cancel", {"order": "A1009", "reason": "test"})
    desk.ask("order.take", small.order("A1001"))
    kits = [kit["kit"] for kit in stores.ask("kit.list", {"order": "A1001"})["kits"]]
    small.fetch_all(stores, kits)
    stores.ask("stock.receive", {"lines": [{"part": "PLUG-8", "bin": "A1", "quantity": 9}]})
    small.release_plans(workshop, "A1001")
    small.harness.until(20, "labels are printed", lambda: not saw.ask("print.list")["jobs"])


def findings(workshop, watcher, sabotage):
    """What the statement finds after the sabotage, which is then taken back."""
    statement = (STATEMENTS / f"{watcher}.sql").read_text()
    script = (f"set search_path = ellwand; begin; set session_replication_role = replica; {sabotage};\n"
              f"prepare watcher as {statement};\nselect 'found ' || (select null)::text where false;"
              f" execute watcher(1); rollback")
    out = small.harness.run("psql", "-qXAt", "-v", "ON_ERROR_STOP=1", "-d", workshop.database, input=script)
    return json.loads(re.search(r"^\{.*\}$", out, re.M).group(0))


def check_breaks(workshop):
    for watcher, words, sabotage in BREAKS:
        report = findings(workshop, watcher, sabotage)
        messages = [finding["message"] for finding in report["findings"]]
        assert any(words in message for message in messages), f"{watcher} did not see: {sabotage}\nbut: {messages}"
        assert findings(workshop, watcher, "select")["findings"] == [], f"{watcher} finds what is not taken back"
    watched = {watcher for watcher, _, _ in BREAKS}
    assert watched == {path.stem for path in STATEMENTS.glob("*.sql")}, "a statement of the audit is never put to the test"


def check_verb(workshop):
    """The verb joins them, and the client ends with 1."""
    desk = workshop.client("desk")
    assert [entry["invariant"] for entry in desk.ask("audit")["checked"]] == list(range(1, 10))
    workshop.sql("set session_replication_role = replica; update ellwand.stock set on_hand = on_hand + 1"
                 " where id = (select min(id) from ellwand.stock)")
    report = desk.ask("audit")
    assert not report["clean"] and [finding["invariant"] for finding in report["findings"]] == [2], report


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        build(workshop)
        small.assert_clean(workshop.client("desk"))
        check_breaks(workshop)
        check_verb(workshop)
        workshop.stop()


main()
