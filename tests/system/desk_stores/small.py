# SPDX-License-Identifier: Apache-2.0
"""A workshop just large enough for the stores' tests: the demonstration's catalogue, four bins, two orders."""
import json
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import harness  # noqa: E402  (the path is set above)

DEMO = harness.SOURCE / "sql" / "demo"
BINS = [{"code": "A1", "walk": 10}, {"code": "A2", "walk": 20}, {"code": "B1", "walk": 30}, {"code": "C1", "walk": 40}]


def catalogue():
    return json.loads((DEMO / "catalogue.json").read_text())


def order(number):
    return json.loads((DEMO / "orders" / f"{number}.json").read_text())


def fill(workshop, stations=("piece", "kit", "offcut", "bar", "bin", "parcel")):
    """Catalogue, bins, and a folder that prints what is asked for."""
    manager = workshop.client("manager")
    manager.ask("catalogue.import", {"catalogue": catalogue()})
    workshop.client("stores").ask("bin.set", {"bins": BINS})
    folder = workshop.folder / "labels"
    folder.mkdir(exist_ok=True)
    if stations:
        manager.ask("station.set", {"station": "bench", "folder": str(folder), "stock": "L100X50", "kinds": list(stations)})
    return folder


def receive(stores, part, bin_code, quantity, kind="receipt"):
    return stores.ask("stock.receive", {"kind": kind, "lines": [{"part": part, "bin": bin_code, "quantity": quantity}]})


def stock_of(client, part):
    return client.ask("stock.list", {"part": part})["parts"][0]


def refused(call, code):
    """The refusal that `call` must end with."""
    try:
        answer = call()
    except harness.Refused as error:
        assert error.code == code, f"refused with {error.code} ({error.message}), not {code}"
        return error
    raise AssertionError(f"not refused, but answered {answer}")


def release_plans(workshop, number, bars=8):
    """Bars for all pieces of an order come in, and everything that waits is planned and released. The plans' numbers."""
    saw = workshop.client("saw")
    for system, finish in sorted({(window["system"], window["finish"])
                                  for window in saw.ask("order.show", {"order": number})["windows"]}):
        saw.ask("rack.add", {"kind": "bar", "system": system, "finish": finish, "length": 6000, "count": bars})
        saw.ask("plan.make", {"saw": "BENCH", "system": system, "finish": finish, "time_limit": 5})

    def plans_in(state):
        return [plan["plan"] for plan in saw.ask("plan.list", {"state": state})["plans"]]
    harness.until(30, "plans are solved", lambda: not plans_in("queued") and not plans_in("solving"))
    ready = plans_in("ready")
    for plan in ready:
        saw.ask("plan.release", {"plan": plan})
    return ready


def cut_order(workshop, number):
    """The saw cuts everything that waits, an order's pieces among it."""
    saw = workshop.client("saw")
    for plan in release_plans(workshop, number):
        for bar in saw.ask("plan.show", {"plan": plan})["bars"]:
            saw.ask("bar.cut", {"plan_bar": bar["plan_bar"]})
    states = {piece["state"] for window in saw.ask("order.show", {"order": number})["windows"] for piece in window["pieces"]}
    assert states == {"cut"}, states


def fetch_all(stores, kits):
    """Everything the kits are short of comes in and is handed on to them."""
    for line in stores.ask("kit.show", {"kits": kits})["short"]:
        answer = receive(stores, line["part"], "C1", line["quantity"])
        assert answer["handed_on"]["orders"], f"nobody was helped by {line}"


def pick_all(stores, kits):
    """Walks through the bins and picks everything; how each kit then stands."""
    for stop in stores.ask("kit.show", {"kits": kits})["walk"]:
        stores.ask("kit.pick", {"kit": stop["kit"], "part": stop["part_code"], "bin": stop["code"]})
    return [kit["state"] for kit in stores.ask("kit.show", {"kits": kits})["kits"]]


def match_all(stores, kits):
    for kit in stores.ask("kit.show", {"kits": kits})["kits"]:
        for piece in kit["pieces"]:
            stores.ask("kit.match", {"kit": kit["kit"], "piece": piece["code"]})


def assert_clean(client):
    report = client.ask("audit")
    assert report["clean"], json.dumps(report["findings"], indent=1)
    assert sum(entry["checked"] for entry in report["checked"]) > 0
