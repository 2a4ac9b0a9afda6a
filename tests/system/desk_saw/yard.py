# SPDX-License-Identifier: Apache-2.0
"""A workshop with bars on its rack and parts in its bins, and the steps from an order to the packed kit."""
import json
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import harness  # noqa: E402  (the path is set above)

DEMO = harness.SOURCE / "sql" / "demo"
SAW = "BENCH"
SYSTEM, FINISH = "LARK", "WH"


def order(number, source="A1001", windows=None):
    """The demonstration's order `source` under another number, with so many of its windows."""
    document = json.loads((DEMO / "orders" / f"{source}.json").read_text())
    document["order"] = number
    if windows:
        document["windows"] = document["windows"][:windows]
    return document


def catalogue():
    return json.loads((DEMO / "catalogue.json").read_text())


def fill(workshop, bars=6, kinds=("piece", "kit", "offcut", "bar")):
    """Catalogue, a folder that takes labels, plenty of every part, and bars of one system and finish."""
    manager, stores = workshop.client("manager"), workshop.client("stores")
    manager.ask("catalogue.import", {"catalogue": catalogue()})
    stores.ask("bin.set", {"bins": [{"code": "A1", "walk": 10}]})
    folder = workshop.folder / "labels"
    folder.mkdir(exist_ok=True)
    set_kinds(workshop, kinds)
    manager.ask("station.set", {"station": "office", "folder": str(folder), "stock": "A4", "kinds": ["cut-sheet"]})
    lines = [{"part": part["code"], "bin": "A1", "quantity": 1000000 if part["unit"] == "length" else 5000}
             for part in catalogue()["parts"]]
    stores.ask("stock.receive", {"kind": "opening", "lines": lines})
    if bars:
        add(workshop, 6000, count=bars)


def set_kinds(workshop, kinds):
    """What the one label printer of the workshop prints."""
    workshop.client("manager").ask("station.set", {"station": "bench", "folder": str(workshop.folder / "labels"),
                                                   "stock": "L100X50", "kinds": list(kinds)})


def add(workshop, length, kind="bar", **more):
    body = {"kind": kind, "system": SYSTEM, "finish": FINISH, "length": length, "batch": "b1", **more}
    return [bar["code"] for bar in workshop.client("saw").ask("rack.add", body)["bars"]]


def refused(call, code):
    """The refusal that `call` must end with."""
    try:
        answer = call()
    except harness.Refused as error:
        assert error.code == code, f"refused with {error.code} ({error.message}), not {code}"
        return error
    raise AssertionError(f"not refused, but answered {answer}")


def make_plans(saw, **wish):
    """Asks for plans and waits until they have ended; as plan.show gives them."""
    made = saw.ask("plan.make", {"saw": SAW, "time_limit": 2, **wish})["plans"]

    def ended(number):
        plan = saw.ask("plan.show", {"plan": number})
        return plan if plan["state"] not in ("queued", "solving") else None

    return [harness.until(30, f"plan {entry['plan']}", lambda: ended(entry["plan"])) for entry in made]


def make_plan(saw, **wish):
    plans = make_plans(saw, **wish)
    assert len(plans) == 1, plans
    assert plans[0]["state"] == "ready", plans[0]
    return plans[0]


def cut_all(saw, number):
    for bar in saw.ask("plan.show", {"plan": number})["bars"]:
        if bar["state"] == "released":
            saw.ask("bar.cut", {"bar": bar["code"], "remainder": bar["remainder"]})


def windows_of(client, number):
    return client.ask("order.show", {"order": number})["windows"]


def pieces_of(client, number):
    return [piece for window in windows_of(client, number) for piece in window["pieces"]]


def states_of(client, number):
    return sorted(piece["state"] for piece in pieces_of(client, number))


def pick(stores, kits):
    for stop in stores.ask("kit.show", {"kits": kits})["walk"]:
        stores.ask("kit.pick", {"kit": stop["kit"], "part": stop["part_code"], "bin": stop["code"]})


def match(stores, windows):
    for window in windows:
        for piece in window["pieces"]:
            stores.ask("kit.match", {"kit": window["kit"], "piece": piece["code"]})


def stock_sums(workshop):
    """On hand and reserved of every part, as the books say."""
    return workshop.sql("select part.code, sum(on_hand), sum(reserved) from ellwand.stock"
                        " join ellwand.part on part.id = stock.part group by part.code order by part.code")


def assert_no_length_lost(workshop):
    """All that ever came lies on the rack, is in pieces, or was booked as trim, kerf, waste or scrap: to the tenth."""
    came, there = (int(word) for word in workshop.sql("""
        select (select sum(length) from ellwand.bar where origin in ('bought', 'found'))
                   + (select coalesce(sum(correction), 0) from ellwand.plan_bar where state = 'cut'),
               (select coalesce(sum(length), 0) from ellwand.bar where state in ('on-rack', 'bound', 'written-off'))
                   + (select coalesce(sum(lead_trim + kerf_length + waste + case when returns then 0 else remainder end), 0)
                      from ellwand.plan_bar where state = 'cut')
                   + (select coalesce(sum(pieces_length), 0) from ellwand.plan_bar where state = 'cut')
                   - (select coalesce(sum(piece.length), 0) from ellwand.bar join ellwand.piece on piece.id = bar.origin_piece)
        """)[0].split("|"))
    assert came == there, f"{came} tenths came, {there} are accounted for"


def assert_clean(workshop):
    report = workshop.client("manager").ask("audit")
    assert report["clean"], json.dumps(report["findings"], indent=1)
    assert sum(entry["checked"] for entry in report["checked"]) > 0
    assert_no_length_lost(workshop)
