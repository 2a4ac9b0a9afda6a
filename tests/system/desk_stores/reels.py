# SPDX-License-Identifier: Apache-2.0
"""Cord is cut in one length: what a kit wants comes from one reel with enough left on it, or it is short."""
import small
from small import refused

CORD = "CORD-25"


def receive(stores, reel, bin_code, length):
    stores.ask("stock.receive", {"lines": [{"part": CORD, "bin": bin_code, "batch": reel, "quantity": length}]})


def cord_of(stores, kit):
    """The kit's line of cord, and where its walk finds it."""
    shown = stores.ask("kit.show", {"kits": [kit]})
    line = next(line for line in shown["kits"][0]["lines"] if line["part"] == CORD)
    return line, [(stop["bin"], stop["batch"], stop["quantity"]) for stop in shown["walk"] if stop["part"] == CORD]


def rests(stores):
    return {place["batch"]: (place["on_hand"], place["reserved"]) for place in small.stock_of(stores, CORD)["bins"]}


def check_short(workshop, kits):
    """Three reels with more than enough between them, and none with enough: the kit stays short of all of it."""
    stores = workshop.client("stores")
    wanted = cord_of(stores, kits[0])[0]["wanted"]
    for reel, bin_code in (("R1", "A1"), ("R2", "A1"), ("R3", "B1")):
        receive(stores, reel, bin_code, wanted - 1)
    line, walk = cord_of(stores, kits[0])
    assert (line["reserved"], line["short"], walk) == (0, wanted, []), (line, walk)
    pick = {"kit": kits[0], "part": CORD, "bin": "A1", "batch": "R1"}
    error = refused(lambda: stores.ask("kit.pick", pick), "not-enough")
    assert "No reel" in error.message and "B1" in error.message, error.message
    refused(lambda: stores.ask("kit.pick", {**pick, "quantity": wanted - 1}), "wrong-quantity")
    return wanted


def check_choice(workshop, kits, wanted):
    """Of two reels that are long enough the shorter is set aside; each kit has one reel, which the walk names."""
    stores = workshop.client("stores")
    receive(stores, "LONG", "B1", 5 * wanted)
    receive(stores, "FIT", "C1", wanted + 500)
    assert cord_of(stores, kits[0])[1] == [("B1", "LONG", wanted)], "it was handed on when it came"
    # The kits give up what they hold and are served anew, as when a pick changes it.
    refused(lambda: stores.ask("kit.pick", {"kit": kits[0], "part": CORD, "bin": "C1", "quantity": wanted - 1}), "wrong-quantity")
    lines = [cord_of(stores, kit) for kit in kits]
    assert all(line["short"] == 0 and len(walk) == 1 for line, walk in lines), lines
    assert sum(line["reserved"] for line, _ in lines) == sum(reserved for _, reserved in rests(stores).values())


def check_pick(workshop, kits, wanted):
    stores = workshop.client("stores")
    before = rests(stores)["LONG"][0]
    refused(lambda: stores.ask("kit.pick", {"kit": kits[0], "part": CORD, "bin": "A1", "batch": "R1"}), "not-enough")
    stores.ask("kit.pick", {"kit": kits[0], "part": CORD, "bin": "B1"})
    line, walk = cord_of(stores, kits[0])
    assert (line["picked"], walk) == (wanted, []) and rests(stores)["LONG"][0] == before - wanted
    stores.ask("kit.put-back", {"kit": kits[0], "part": CORD})
    assert rests(stores)["LONG"][0] == before
    # The reel that fits has the least left that is enough.
    assert cord_of(stores, kits[0])[1] == [("C1", "FIT", wanted)], cord_of(stores, kits[0])
    stores.ask("kit.pick", {"kit": kits[0], "part": CORD, "bin": "C1"})
    assert rests(stores)["FIT"] == (500, 0)


def check_lost(workshop, kits):
    """A reel that turns out too short is given up whole, and the kit gets another or is short of all."""
    stores, manager = workshop.client("stores"), workshop.client("manager")
    line, walk = cord_of(stores, kits[1])
    assert walk[0][1] == "LONG", walk
    stores.ask("kit.short", {"kit": kits[1], "part": CORD, "bin": "B1", "found": line["wanted"] - 1, "batch": "LONG"})
    line, walk = cord_of(stores, kits[1])
    assert (line["reserved"], line["short"], walk) == (0, line["wanted"], []), (line, walk)
    report = manager.ask("audit")
    assert report["clean"], report["findings"]


def check_reordering(workshop):
    """A rest shorter than every piece that orders ask for is no stock to reorder by; a reel longer than all of them is."""
    manager = workshop.client("manager")
    line = manager.ask("reorder.list", {"part": CORD})["lines"][0]
    places = [place["on_hand"] for place in small.stock_of(manager, CORD)["bins"]]
    asked = [part["quantity"] for window in manager.ask("order.show", {"order": "A1002", "full": True})["windows"]
             for part in window["takeoff"]["parts"] if part["part"] == CORD]
    assert len(asked) == 2 and 500 < min(asked) <= max(asked) < 5 * min(asked) - 1000, asked
    assert line["on_hand"] == sum(places) and line["usable"] == sum(rest for rest in places if rest >= max(asked) + 50), (line, places)
    assert line["usable"] < line["on_hand"] and line["position"] == line["usable"] - line["wanted"], line
    assert "shorter than the longest piece asked for" in line["why"] and line["buy"] % 50000 == 0, line


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop)
        order = small.order("A1002")
        order["windows"] = [dict(order["windows"][0], window=name, near=[]) for name in ("R1", "R2")]
        taken = workshop.client("desk").ask("order.take", order)
        kits = [window["kit"] for window in taken["windows"]]
        wanted = check_short(workshop, kits)
        check_choice(workshop, kits, wanted)
        check_pick(workshop, kits, wanted)
        check_lost(workshop, kits)
        check_reordering(workshop)
        workshop.stop()


main()
