# SPDX-License-Identifier: Apache-2.0
"""What is seen of a track is of one finish batch: reserved so, picked so, refused otherwise with what to do."""
import small
from small import harness, refused

PART = "LK-BASE-WH"  # "batch_match" in the demonstration's catalogue


def receive(stores, batch, quantity, place="A1"):
    return stores.ask("stock.receive", {"lines": [{"part": PART, "bin": place, "batch": batch, "quantity": quantity}]})


def line_of(stores, kit):
    return next(line for line in stores.ask("kit.show", {"kits": [kit]})["kits"][0]["lines"] if line["part"] == PART)


def walk_of(stores, kit):
    return [(stop["batch"], stop["bin"], stop["quantity"]) for stop in stores.ask("kit.show", {"kits": [kit]})["walk"]
            if stop["part"] == PART]


def check_one_batch_is_set_aside(stores, kit, wanted):
    """Of two batches that are each too small nothing is mixed; the better one waits for more of its kind."""
    receive(stores, "N1", wanted - 1)
    receive(stores, "N2", wanted - 2, "B1")
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], walk_of(stores, kit)
    assert line_of(stores, kit)["short"] == 1
    receive(stores, "N2", 1, "C1")
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], "as good is no reason to change"
    handed = receive(stores, "N2", 1, "C1")["handed_on"]
    assert handed["orders"] and not [line for line in handed["short"] if line["part"] == PART], handed
    assert walk_of(stores, kit) == [("N2", "B1", wanted - 2), ("N2", "C1", 2)], "over two bins, of one batch"


def check_picks(stores, kit, wanted):
    """Another batch is refused, before and after the first pick; what was begun can be put back."""
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "batch": "N1", "quantity": wanted}), "not-enough")
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "B1"})
    error = refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "quantity": 1}), "wrong-batch")
    assert "batch N2" in error.message and "put-back" in error.message, error.message
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "C1", "quantity": 3}), "wrong-quantity")
    refused(lambda: stores.ask("kit.pick", {"kit": kit, "part": "KT-BASE-BZ", "bin": "C1"}), "wrong-part")
    stores.ask("kit.put-back", {"kit": kit, "part": PART})
    receive(stores, "N1", 1)
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1", "batch": "N1", "quantity": 1})
    assert walk_of(stores, kit) == [("N1", "A1", wanted - 1)], "what was begun is gone on with"
    stores.ask("kit.pick", {"kit": kit, "part": PART, "bin": "A1"})
    assert line_of(stores, kit)["picked"] == wanted


def order(number):
    """A1001's first window alone."""
    made = small.order("A1001")
    made.update(order=number, windows=made["windows"][:1])
    return made


def check_small_batches_first(workshop, stores, wanted):
    """A kit takes the smallest batch that is enough for it."""
    receive(stores, "S1", 50)
    workshop.client("desk").ask("order.take", order("B1"))
    kit = stores.ask("kit.list", {"order": "B1"})["kits"][0]["kit"]
    assert walk_of(stores, kit) == [("N2", "B1", wanted - 2), ("N2", "C1", 2)], walk_of(stores, kit)


def check_one_walk(workshop, stores):
    """Several kits in one walk: each stop once, in the order of the bins, its total shared out to the kits as each wants."""
    for name in ("C1", "C2"):
        workshop.client("desk").ask("order.take", order(name))
    kits = [stores.ask("kit.list", {"order": name})["kits"][0]["kit"] for name in ("A1", "B1", "C1", "C2")]
    small.fetch_all(stores, kits)
    shown = stores.ask("kit.show", {"kits": kits})
    walk, stops = shown["walk"], shown["stops"]
    places = [(stop["bin"], stop["part"], stop.get("batch")) for stop in stops]
    assert len(set(places)) == len(places) < len(walk), "a place comes twice"
    bins = [place["code"] for place in small.BINS]
    assert [bins.index(stop["bin"]) for stop in stops] == sorted(bins.index(stop["bin"]) for stop in stops)
    for stop in stops:
        alone = {row["kit"]: row["quantity"] for row in walk
                 if (row["bin"], row["part"], row.get("batch")) == (stop["bin"], stop["part"], stop.get("batch"))}
        assert {share["kit"]: share["quantity"] for share in stop["split"]} == alone, stop
        assert sum(alone.values()) == stop["quantity"], stop
    assert any(len(stop["split"]) == 4 for stop in stops), "four kits of a kind share a stop"
    assert sum(stop["quantity"] for stop in stops) == sum(line["reserved"] for kit in shown["kits"] for line in kit["lines"])
    for stop in stops:
        for share in stop["split"]:
            pick = {"kit": share["kit"], "part": stop["part_code"], "bin": stop["code"], "quantity": share["quantity"]}
            stores.ask("kit.pick", {**pick, **({"batch": stop["batch"]} if "batch" in stop else {})})
    assert [kit["state"] for kit in stores.ask("kit.show", {"kits": kits})["kits"]] == ["complete"] * 4


def check_pick_list(workshop, stores):
    """The command shows the walk with what goes into which kit, and draws it."""
    (workshop.folder / "server.key").write_text(f"name daemon\npublic {workshop.daemon_key.public.decode()}\n")
    workshop.keys["stores"].write(workshop.folder / "stores.key")
    for name in ("D1", "D2"):
        workshop.client("desk").ask("order.take", order(name))
    kits = [stores.ask("kit.list", {"order": name})["kits"][0]["kit"] for name in ("D1", "D2")]
    small.fetch_all(stores, kits)
    access = [harness.BUILD / "ellwand", "--server", workshop.endpoint, "--server-key", workshop.folder / "server.key",
              "--key", workshop.folder / "stores.key", "kit", "show", *kits]
    shown = harness.run(*access, "--walk")
    assert f"{kits[0]} " in shown and f", {kits[1]} " in shown, shown
    print(shown)
    sheet = workshop.folder / "picks.pdf"
    harness.run(*access, "--sheet", sheet)
    text = harness.run("pdftotext", "-layout", sheet, "-")
    assert all(kit in text for kit in kits) and "Pick list" in text, text


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        stores = workshop.client("stores")
        workshop.client("desk").ask("order.take", order("A1"))
        kit = stores.ask("kit.list", {"order": "A1"})["kits"][0]["kit"]
        wanted = line_of(stores, kit)["wanted"]
        assert wanted >= 4
        check_one_batch_is_set_aside(stores, kit, wanted)
        check_picks(stores, kit, wanted)
        check_small_batches_first(workshop, stores, wanted)
        check_one_walk(workshop, stores)
        check_pick_list(workshop, stores)
        small.assert_clean(workshop.client("manager"))
        workshop.stop()


main()
