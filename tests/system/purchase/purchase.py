# SPDX-License-Identifier: Apache-2.0
"""Buying, from what falls short to the goods that come in: proposals, changes, orders, receipts, and what they teach."""
import concurrent.futures
import datetime
import json
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "desk_stores"))
import small  # noqa: E402  (the path is set above)
from small import refused  # noqa: E402

DEMONSTRATION = small.catalogue


def plain_catalogue():
    """The demonstration's, but bars of no named supplier, and nothing sold in packs or by a least order."""
    catalogue = DEMONSTRATION()
    for thing in catalogue["parts"] + [bar for system in catalogue["systems"] for bar in system["bars"]]:
        for term in ("pack", "reel", "least", "prices"):
            thing.pop(term, None)
    for system in catalogue["systems"]:
        for bar in system["bars"]:
            bar.pop("supplier", None)
    return catalogue


TODAY = datetime.datetime.now(datetime.timezone.utc).date()


def line_of(manager, code):
    return next(line for line in manager.ask("reorder.list")["lines"] if line["code"] == code)


def check_proposal(workshop, manager, stores):
    """One purchase for each supplier, of just what reorder.list says; a second run adds nothing."""
    due = manager.ask("reorder.list", {"due_only": True})["lines"]
    assert len(due) > 5
    for line in due:
        assert line["position"] == line["on_hand"] + line["on_order"] - line["wanted"] <= line["reorder_point"], line
        assert line["position"] + line["buy"] >= line["reorder_point"], line
        assert line["history_short"] is True and line["weeks"] < 4, line
        assert "short a history" in line["why"] and "reorder point" in line["why"], line["why"]
        assert line["lead_from"] == ("assumed" if line["kind"] == "bar" else "catalogue") and f"{line['lead_days']} days" in line["why"], line
        assert line["unit"] == "each" or line["buy"] % 1000 == 0, "not whole metres"
    refused(lambda: stores.ask("purchase.propose"), "not-allowed")
    # Several managers at once: what one proposes the others find proposed.
    managers = [workshop.client("manager") for _ in range(4)]
    with concurrent.futures.ThreadPoolExecutor(len(managers)) as pool:
        answers = list(pool.map(lambda each: each.ask("purchase.propose", {"reason": "Monday"}), managers))
    (answer,) = [answer for answer in answers if answer["purchases"]]
    assert answer["already"] == []
    assert {entry["supplier"] for entry in answer["purchases"]} == {line["supplier"] for line in due} and len(answer["purchases"]) > 2
    bought = {}
    for entry in answer["purchases"]:
        purchase = manager.ask("purchase.show", {"purchase": entry["purchase"]})
        assert purchase["state"] == "proposed" and len(purchase["lines"]) == entry["lines"]
        assert purchase["lead_days"] == max(line["lead_days"] for line in due if line["supplier"] == purchase.get("supplier"))
        assert purchase["cost"] == sum(line["cost"] for line in purchase["lines"] if "cost" in line)
        bought.update({line["code"]: line["quantity"] for line in purchase["lines"]})
    assert bought == {line["code"]: line["buy"] for line in due}
    again = manager.ask("purchase.propose")
    assert again["purchases"] == [] and sorted(again["already"]) == sorted(bought)
    return [entry["purchase"] for entry in answer["purchases"]]


def check_change(manager, number):
    """A manager has the last word while it is a proposal."""
    purchase = manager.ask("purchase.show", {"purchase": number})
    first, last = purchase["lines"][0], purchase["lines"][-1]
    assert first["line"] != last["line"]
    line = {"line": first["line"], "quantity": 40, "price": 7}
    changed = manager.ask("purchase.change", {"purchase": number, "lines": [line], "drop": [last["line"]]})
    assert len(changed["lines"]) == len(purchase["lines"]) - 1
    assert (changed["lines"][0]["quantity"], changed["lines"][0]["cost"]) == (40, 280)
    for body, code in (({"lines": [dict(line, quantity=0)]}, "out-of-range"),
                       ({"lines": [dict(line, quantity=1.5)]}, "out-of-range"),
                       ({"lines": [line, line]}, "not-found"),
                       ({"drop": [last["line"]]}, "not-found"),
                       ({"supplier": "NOBODY"}, "unknown-supplier"),
                       ({"add": [{"part": "NONE", "quantity": 1}]}, "unknown-part"),
                       ({"add": [{"system": "LARK", "finish": "WH", "length": 6001, "quantity": 1}]}, "unknown-system"),
                       ({"add": [{"part": first["code"], "quantity": 1}]}, "conflict")):
        refused(lambda: manager.ask("purchase.change", dict(body, purchase=number)), code)
    assert manager.ask("purchase.show", {"purchase": number}) == changed, "a refused change left something"
    added = manager.ask("purchase.change", {"purchase": number, "add": [
        {"system": "LARK", "finish": "WH", "length": "6 m", "quantity": 3}]})
    bars = next(line for line in added["lines"] if line["kind"] == "bar")
    assert (bars["code"], bars["length"], bars["price"], bars["cost"]) == ("LARK WH 6000", 6000, 3600, 10800), bars
    return added


def check_order(manager, stores, purchase):
    number, code = purchase["purchase"], purchase["lines"][0]["code"]
    refused(lambda: stores.ask("purchase.order", {"purchase": number}), "not-allowed")
    refused(lambda: stores.ask("purchase.receive", {"purchase": number, "lines": [{"part": code, "bin": "A1", "quantity": 1}]}),
            "not-ordered")
    before = line_of(manager, code)
    assert (before["on_order"], before["proposed"]) == (0, 40)
    ordered = manager.ask("purchase.order", {"purchase": number, "reason": "approved"})
    assert ordered["state"] == "ordered" and ordered["history"][-1]["reason"] == "approved"
    assert ordered["expected"] == str(TODAY + datetime.timedelta(days=ordered["lead_days"])), ordered["expected"]
    after = line_of(manager, code)
    assert (after["on_order"], after["proposed"], after["position"]) == (40, 0, before["position"] + 40)
    assert after["buy"] == before["buy"] - 40 and "40 on order" in after["why"], after
    refused(lambda: manager.ask("purchase.order", {"purchase": number}), "purchase-settled")
    refused(lambda: manager.ask("purchase.change", {"purchase": number, "drop": [purchase["lines"][0]["line"]]}), "purchase-settled")
    assert [entry["purchase"] for entry in stores.ask("purchase.list", {"state": "ordered"})["purchases"]] == [number]


def check_receipt(manager, stores, purchase):
    """Partial, then too much, then too much with a word; the parts reach the kits, the bars the rack."""
    number, code = purchase["purchase"], purchase["lines"][0]["code"]
    goods = {"part": code, "bin": "A1", "quantity": 15}
    before = small.stock_of(stores, code)
    answer = stores.ask("purchase.receive", {"purchase": number, "lines": [dict(goods, quantity=10), dict(goods, bin="B1", quantity=5)]})
    assert answer["entries"] == 2 and answer["handed_on"]["orders"] == ["A1002"], answer
    after = small.stock_of(stores, code)
    assert (after["on_hand"], after["short"]) == (before["on_hand"] + 15, max(0, before["short"] - 15))
    assert stores.ask("stock.ledger", {"part": code})["entries"][0]["kind"] == "receipt"
    line = answer["purchase"]["lines"][0]
    assert (line["received"], line["open"], answer["purchase"]["state"]) == (15, 25, "ordered")
    assert line_of(manager, code)["on_order"] == 25
    much = {"purchase": number, "lines": [dict(goods, quantity=26)]}
    assert "(41) than was ordered (40)" in refused(lambda: stores.ask("purchase.receive", much), "over-received").message
    assert small.stock_of(stores, code)["on_hand"] == after["on_hand"], "a refused receipt left goods"
    assert stores.ask("purchase.receive", dict(much, over=True))["purchase"]["lines"][0]["received"] == 41
    refused(lambda: stores.ask("purchase.receive", {"purchase": number, "lines": [dict(goods, part="LK-GLIDER")]}), "not-on-purchase")
    assert refused(lambda: stores.ask("purchase.receive", {"purchase": number, "lines": [dict(goods, bin="Z9")]}), "unknown-bin").where == "lines[0].bin"
    refused(lambda: stores.ask("purchase.receive", {"purchase": number}), "missing-field")
    bars = {"system": "LARK", "finish": "WH", "length": 6000, "count": 3, "batch": "7"}
    refused(lambda: stores.ask("purchase.receive", {"purchase": number, "bars": [dict(bars, length=5000)]}), "not-on-purchase")
    refused(lambda: stores.ask("purchase.receive", {"purchase": number, "bars": [dict(bars, count=4)]}), "over-received")
    answer = stores.ask("purchase.receive", {"purchase": number, "bars": [bars]})
    assert len(answer["bars"]) == 3 and answer["labels"][0]["labels"] == 3, answer
    assert stores.ask("rack.list", {"system": "LARK"})["count"] == 3
    line = line_of(manager, "LARK WH 6000")
    assert (line["on_hand"], line["supplier"], line["lead_from"]) == (3, purchase["supplier"], "catalogue"), line
    rest = [{"part": line["code"], "bin": "C1", "quantity": line["open"]} for line in answer["purchase"]["lines"] if line["open"] > 0]
    answer = stores.ask("purchase.receive", {"purchase": number, "lines": rest})
    assert answer["purchase"]["state"] == "received", answer["purchase"]
    refused(lambda: stores.ask("purchase.receive", {"purchase": number, "lines": [goods]}), "not-ordered")
    refused(lambda: manager.ask("purchase.cancel", {"purchase": number, "reason": "test"}), "purchase-settled")


def check_cancel(manager, stores, number):
    """A proposal goes as a whole; of an order that has begun to come, the rest."""
    refused(lambda: manager.ask("purchase.cancel", {"purchase": number}), "missing-field")
    purchase = manager.ask("purchase.order", {"purchase": number, "expected": "2026-01-05"})
    assert purchase["late"] is True
    line = purchase["lines"][0]
    stores.ask("purchase.receive", {"purchase": number, "lines": [{"part": line["code"], "bin": "A1", "quantity": 1000 if line["unit"] == "length" else 1}]})
    done = manager.ask("purchase.cancel", {"purchase": number, "reason": "the rest is not made any more"})
    assert done["state"] == "received" and all(line["open"] == 0 for line in done["lines"])
    assert line_of(manager, line["code"])["on_order"] == 0


def buy(workshop, manager, stores, code, days):
    """One more purchase of the part, which took so many days to come."""
    proposed = manager.ask("purchase.propose", {"part": code})["purchases"]
    number = proposed[0]["purchase"]
    line = manager.ask("purchase.order", {"purchase": number})["lines"][0]
    workshop.sql("set session_replication_role = replica; update ellwand.purchase set ordered_at = now() -"
                 f" interval '{days} days' where id = {number}")
    stores.ask("purchase.receive", {"purchase": number, "lines": [{"part": code, "bin": "A1", "quantity": line["quantity"]}]})
    # It is lost at once, so that the part is due again.
    stores.ask("stock.adjust", {"reason": "lost", "lines": [{"part": code, "bin": "A1", "counted": 0}]})


def check_lead_times(workshop, manager, stores, code, other):
    """Receipts of 4, 6 and 11 days: mean 7, sample deviation sqrt((9 + 1 + 16) / 2) = 3.6 (by hand)."""
    told = line_of(manager, code)
    for seen, days in enumerate((4, 6)):
        buy(workshop, manager, stores, code, days)
        assert line_of(manager, code)["lead_days"] == told["lead_days"], f"{seen + 1} receipts were taken for a law"
    buy(workshop, manager, stores, code, 11)
    line = line_of(manager, code)
    assert (line["lead_from"], line["lead_seen"], line["lead_days"], line["lead_deviation"]) == ("receipts", 3, 7, 3.6), line
    assert "as seen in 3 receipts" in line["why"]
    # Of another part of this supplier nothing has come yet: it is taken to be as slow as the rest.
    line = line_of(manager, other)
    assert (line["lead_from"], line["lead_seen"], line["lead_days"], line["lead_deviation"]) == ("supplier", 3, 7, 3.6), line


def check_bars(workshop, manager):
    """Bars are bought by how many the saw opened. Who supplies their system is not in the catalogue: a manager says it once."""
    small.cut_order(workshop, "A1002")
    for bar in manager.ask("rack.list", {"kind": "bar"})["bars"]:
        manager.ask("rack.write-off", {"bar": bar["code"], "reason": "test"})
    due = [line for line in manager.ask("reorder.list", {"due_only": True})["lines"] if line["kind"] == "bar"]
    assert due and all(line["weekly"] > 0 and line["length"] == 6000 for line in due), due
    assert all(line["supplier"] is None and line["lead_from"] == "assumed" for line in due), due
    number = next(entry["purchase"] for entry in manager.ask("purchase.propose")["purchases"] if entry["supplier"] is None)
    refused(lambda: manager.ask("purchase.order", {"purchase": number}), "no-supplier")
    assert manager.ask("purchase.change", {"purchase": number, "supplier": "ORMEROD"})["lead_days"] == 15
    lines = manager.ask("purchase.order", {"purchase": number})["lines"]
    assert {line["code"]: line["quantity"] for line in lines} == {line["code"]: line["buy"] for line in due}
    for line in due:
        now = line_of(manager, line["code"])
        assert (now["supplier"], now["on_order"], now["lead_days"]) == ("ORMEROD", line["buy"], 15), now
    bars = [{"system": line["system"], "finish": line["finish"], "length": line["length"], "count": line["quantity"]} for line in lines]
    answer = manager.ask("purchase.receive", {"purchase": number, "bars": bars})
    assert answer["purchase"]["state"] == "received" and len(answer["bars"]) == sum(line["buy"] for line in due)


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.catalogue = plain_catalogue
        small.fill(workshop)
        workshop.client("desk").ask("order.take", small.order("A1002"))
        manager, stores = workshop.client("manager"), workshop.client("stores")
        numbers = check_proposal(workshop, manager, stores)
        sizes = {number: len(manager.ask("purchase.show", {"purchase": number})["lines"]) for number in numbers}
        first = max(numbers, key=sizes.get)
        purchase = check_change(manager, first)
        check_order(manager, stores, purchase)
        check_receipt(manager, stores, purchase)
        # The last one is of bars that nobody is named for.
        second, *others = sorted((number for number in numbers if number != first),
                                 key=lambda number: "supplier" not in manager.ask("purchase.show", {"purchase": number}))
        check_cancel(manager, stores, second)
        for number in others:
            assert manager.ask("purchase.cancel", {"purchase": number, "reason": "test"})["state"] == "cancelled"
        listed = manager.ask("purchase.list", {"limit": 1})
        assert listed["next"] == listed["purchases"][0]["purchase"] == max(numbers)
        untried = manager.ask("purchase.show", {"purchase": others[0]})["supplier"]
        due = manager.ask("reorder.list", {"due_only": True})["lines"]
        check_lead_times(workshop, manager, stores,
                         *[line["code"] for line in due if line["unit"] == "each" and line["supplier"] == untried][:2])
        check_bars(workshop, manager)
        small.assert_clean(manager)
        workshop.stop()


main()
