# SPDX-License-Identifier: Apache-2.0
"""Stock-takes: counted blind, compared with the books of that moment, counted again where much differs, approved by another."""
import datetime
import threading
import time

import small
from small import refused

PART = "LK-STOP-WH"


def open_take(client, bin_code, **more):
    return client.ask("count.open", dict(more, bins=[bin_code]))["stock_takes"][0]


def enter(client, take, counted, **more):
    return client.ask("count.enter", dict(more, stock_take=take, lines=[{"part": part, "counted": number} for part, number in counted.items()]))


def show(client, take):
    return client.ask("count.show", {"stock_takes": [take]})["stock_takes"][0]


def on_hand(client, part, bin_code="A1"):
    return sum(place["on_hand"] for place in small.stock_of(client, part)["bins"] if place["bin"] == bin_code)


def check_blind(workshop):
    """The sheet names what to count and tells nobody how many there should be, whatever else may be asked."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    small.receive(stores, PART, "A1", 40)
    small.receive(stores, "LK-SPLICE", "A1", 7)
    take = open_take(stores, "A1")
    error = refused(lambda: open_take(manager, "A1"), "already-open")
    assert str(take) in error.message and error.where == "bins[0]", error
    for client in (stores, manager):
        lines = show(client, take)["lines"]
        assert [line["part"] for line in lines] == ["LK-SPLICE", PART], lines
        assert not any(name in line for line in lines for name in ("booked", "difference", "counted", "value", "large")), lines
    assert "LK-SPLICE" in refused(lambda: enter(stores, take, {PART: 40}), "not-counted").message
    # what was refused is not entered; half of it may be
    assert enter(stores, take, {PART: 40}, done=False)["state"] == "open"
    assert "booked" not in show(manager, take)["lines"][1] and show(stores, take)["lines"][1]["counted"] == 40
    done = enter(stores, take, {"LK-SPLICE": 7})
    assert done == {"stock_take": take, "state": "counted", "round": 1, "recount": []}, done
    assert "booked" not in show(stores, take)["lines"][0], "only who may approve is told"
    assert show(manager, take)["lines"][1]["booked"] == 40
    refused(lambda: enter(stores, take, {PART: 41}), "stock-take-counted")
    refused(lambda: workshop.client("stores").ask("count.approve", {"stock_takes": [take]}), "not-allowed")
    answer = manager.ask("count.approve", {"stock_takes": [take]})
    assert answer["entries"] == 0 and answer["rack"]["made"] == [], answer
    refused(lambda: manager.ask("count.approve", {"stock_takes": [take]}), "stock-take-approved")
    refused(lambda: manager.ask("count.drop", {"stock_take": take}), "step-not-allowed")


def check_moment(workshop):
    """What moves between sheet and count is in the books of the count; what moves after it is not touched by it."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    take = open_take(stores, "A1")
    small.receive(stores, PART, "A1", 10)  # after the sheet: 50
    enter(stores, take, {PART: 48, "LK-SPLICE": 7}, done=False)
    stores.ask("stock.move", {"lines": [{"part": PART, "from": "A1", "to": "A2", "quantity": 20}]})  # after the count: 30
    assert enter(stores, take, {})["state"] == "counted"
    line = show(manager, take)["lines"][1]
    assert (line["booked"], line["counted"], line["difference"], line["value"]) == (50, 48, -2, -120), line
    assert manager.ask("count.approve", {"stock_takes": [take], "reason": "a box fell down"})["entries"] == 1
    assert on_hand(stores, PART) == 28
    entry = stores.ask("stock.ledger", {"part": PART})["entries"][0]
    assert (entry["kind"], entry["quantity"], entry["stock_take"], entry["key"], entry["reason"]) == \
        ("adjustment", -2, take, "manager", "a box fell down"), entry


def check_counted_earlier(workshop):
    """The count may be entered later than it was made: `at` says when, and the books are those of then."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    take = open_take(stores, "A1")
    time.sleep(1.1)
    then = datetime.datetime.now(datetime.timezone.utc).replace(microsecond=0)
    time.sleep(1.1)
    small.receive(stores, PART, "A1", 5)  # after the count: 33
    moment = then.strftime("%Y-%m-%dT%H:%M:%SZ")
    enter(stores, take, {PART: 27}, at=moment, done=False)
    refused(lambda: enter(stores, take, {PART: 1}, at="2020-01-01T00:00:00Z"), "out-of-range")
    refused(lambda: enter(stores, take, {PART: 1}, at="2026-02-31T00:00:00Z"), "out-of-range")
    refused(lambda: enter(stores, take, {PART: 1}, at="yesterday"), "out-of-range")
    enter(stores, take, {"LK-SPLICE": 7})
    assert show(manager, take)["lines"][1]["difference"] == -1
    manager.ask("count.approve", {"stock_takes": [take]})
    assert on_hand(stores, PART) == 32


def check_recount(workshop):
    """A large difference is counted again before anybody approves it; a manager may ask for more."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    take = open_take(stores, "A1")
    done = enter(stores, take, {PART: 5, "LK-SPLICE": 7, "OV-SCREW": 3})  # 27 gone at 60 each; screws nobody had in the books
    assert done["state"] == "open" and [line["part"] for line in done["recount"]] == [PART], done
    assert done["round"] == 2 and not any(line.get("counted") for line in show(stores, take)["lines"]), show(stores, take)
    refused(lambda: manager.ask("count.approve", {"stock_takes": [take]}), "stock-take-open")
    refused(lambda: enter(stores, take, {"LK-SPLICE": 7}), "not-counted")
    assert enter(stores, take, {PART: 31})["state"] == "counted"
    manager.ask("count.recount", {"stock_take": take, "reason": "screws?"})
    refused(lambda: enter(stores, take, {PART: 31}), "not-counted")
    assert enter(stores, take, {PART: 31, "OV-SCREW": 0})["state"] == "counted"
    answer = manager.ask("count.approve", {"stock_takes": [take]})
    assert answer["entries"] == 1 and on_hand(stores, PART) == 31, answer


def check_own_count(workshop):
    """Whoever counted does not approve, manager or not; another one may."""
    manager = workshop.client("manager")
    other = small.harness.Key("second")
    manager.ask("key.add", {"name": "second", "public_key": other.public.decode(), "roles": ["manager", "stores"]})
    workshop.keys["second"] = other
    second = workshop.client("second")
    take = open_take(manager, "A2")
    second.insist("count.enter", {"bin": "A2", "lines": [{"part": PART, "counted": 19}]})
    refused(lambda: second.ask("count.approve", {"stock_takes": [take]}), "own-count")
    assert manager.ask("count.approve", {"stock_takes": [take]})["entries"] == 1
    return second


def check_kits(workshop):
    """Where fewer are there than kits were promised, the last due gives up; it is told, and what is short is named."""
    desk, stores, manager = workshop.client("desk"), workshop.client("stores"), workshop.client("manager")
    for number, due in (("C1", "2026-12-01"), ("C2", "2026-12-02")):
        order = small.order("A1001")
        order.update(order=number, due=due, windows=order["windows"][:1])
        desk.ask("order.take", order)
    stock = small.stock_of(stores, PART)
    assert stock["reserved"] == 4 and stock["bins"][0]["reserved"] == 4, stock
    take = open_take(stores, "A1", percent=1000, value=1000000)
    enter(stores, take, {PART: 3, "LK-SPLICE": 7})
    take_two = open_take(stores, "A2")
    enter(stores, take_two, {PART: 0})
    enter(stores, take_two, {PART: 0})
    answer = manager.ask("count.approve", {"stock_takes": [take, take_two]})
    assert [(lost["order"], lost["part"], lost["quantity"]) for lost in answer["given_up"]] == [("C2", PART, 1)], answer
    assert [(short["order"], short["short"]) for short in answer["handed_on"]["short"] if short["part"] == PART] == [("C2", 1)]
    small.assert_clean(desk)
    for number in ("C1", "C2"):
        desk.ask("order.cancel", {"order": number, "reason": "test"})


def check_outdated_and_drop(workshop):
    """A difference that no longer fits is not booked; a half-finished stock-take can be dropped and begun anew."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    take = open_take(stores, "A1", value=1000000)
    enter(stores, take, {PART: 1, "LK-SPLICE": 7})
    stores.ask("stock.move", {"lines": [{"part": PART, "from": "A1", "to": "C1", "quantity": 2}]})
    assert PART in refused(lambda: manager.ask("count.approve", {"stock_takes": [take]}), "count-outdated").message
    assert show(manager, take)["state"] == "counted", "a refused approval changed something"
    assert [entry["stock_take"] for entry in stores.ask("count.list")["stock_takes"]] == [take]
    assert stores.ask("count.drop", {"bin": "A1", "reason": "begun anew"})["state"] == "dropped"
    assert stores.ask("count.list")["stock_takes"] == []
    assert take in [entry["stock_take"] for entry in stores.ask("count.list", {"state": "dropped"})["stock_takes"]]
    assert "under way at bin A1" in refused(lambda: stores.ask("count.enter", {"bin": "A1"}), "not-found").message
    take = open_take(stores, small.stock_of(stores, "LK-SPLICE")["bins"][0]["code"])  # by the label of the bin
    assert show(stores, take)["bin"] == "A1"
    stores.ask("count.drop", {"stock_take": take})


def check_rack(workshop):
    """A place of the rack: what is not found is written off, what lies elsewhere is moved, what has no label gets one."""
    saw, stores, manager = workshop.client("saw"), workshop.client("stores"), workshop.client("manager")

    def add(place, length):
        return saw.ask("rack.add", {"kind": "offcut", "system": "LARK", "finish": "WH", "length": length, "place": place})["bars"][0]["code"]
    here, lost, elsewhere, gone = add("R1", 1500), add("R1", 1600), add("R2", 1700), add("R1", 1800)
    saw.ask("rack.write-off", {"bar": gone, "reason": "bent"})
    take = stores.ask("count.open", {"places": ["R1"]})["stock_takes"][0]
    found = {"place": "R1", "bars": [here, elsewhere, gone],
             "loose": [{"system": "LARK", "finish": "WH", "length": "1.2 m", "squared": True}]}
    refused(lambda: stores.ask("count.enter", dict(found, loose=[{"system": "LARK", "finish": "PINK", "length": 900}])), "unknown-system")
    done = stores.ask("count.enter", found)
    assert done["state"] == "open" and done["recount"] is True, done  # one is missing: look again
    assert "bars" not in show(manager, take)
    done = stores.ask("count.enter", {"place": "R1", "bars": [here]})
    assert done["state"] == "counted", done
    assert sorted(bar["what"] for bar in show(manager, take)["bars"]) == ["back", "missing", "moved", "new", "there"]
    rack = manager.ask("count.approve", {"stock_takes": [take]})
    assert rack["rack"]["written_off"] == [lost] and rack["rack"]["moved"] == [elsewhere] and rack["rack"]["back"] == [gone], rack
    made = rack["rack"]["made"][0]["code"]
    assert rack["labels"][0]["labels"] == 1, rack
    bars = {bar["code"]: bar for bar in saw.ask("rack.list")["bars"]}
    assert {bars[code]["place"] for code in (here, elsewhere, gone, made)} == {"R1"} and lost not in bars
    assert bars[made]["length"] == 1200 and bars[made]["squared"] and bars[made]["origin"] == "found"


def check_two_at_once(workshop, second):
    """Two open a take of one bin, two approve one: each time one does it and the other is told."""
    manager, stores = workshop.client("manager"), workshop.client("stores")

    def race(calls):
        outcomes = []

        def go(call):
            try:
                outcomes.append(call())
            except small.harness.Refused as error:
                outcomes.append(error.code)
        threads = [threading.Thread(target=go, args=(call,)) for call in calls]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(30)
        return outcomes
    for number in range(8):
        outcomes = race([lambda: open_take(manager, "B1"), lambda: open_take(second, "B1")])
        assert sorted(isinstance(outcome, int) for outcome in outcomes) == [False, True] and "already-open" in outcomes, outcomes
        take = next(outcome for outcome in outcomes if isinstance(outcome, int))
        lines = {line["part"]: 0 for line in show(stores, take)["lines"]}
        enter(stores, take, dict(lines, **{PART: number + 1}))
        before = on_hand(stores, PART, "B1")
        outcomes = race([lambda: manager.ask("count.approve", {"stock_takes": [take]}),
                         lambda: second.ask("count.approve", {"stock_takes": [take]})])
        assert "stock-take-approved" in outcomes and sum(isinstance(outcome, dict) for outcome in outcomes) == 1, outcomes
        assert (before, on_hand(stores, PART, "B1")) == (number, number + 1)


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop)
        check_blind(workshop)
        check_moment(workshop)
        check_counted_earlier(workshop)
        check_recount(workshop)
        second = check_own_count(workshop)
        check_kits(workshop)
        check_outdated_and_drop(workshop)
        check_rack(workshop)
        check_two_at_once(workshop, second)
        small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
