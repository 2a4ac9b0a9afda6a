# SPDX-License-Identifier: Apache-2.0
"""Parcels: split by carriers' limits, labelled k of n, sent one by one by scan; opened again with their order."""
import json
import math
import subprocess

import small
from small import harness, refused

CARRIERS = {carrier["code"]: carrier for carrier in small.catalogue()["carriers"]}


def outside_of(wrap):
    """Longest side and girth outside, in mm: pi times the diameter, or twice width and height."""
    wall = 2 * wrap.get("wall", 0)
    girth = (math.pi * (wrap["width"] + wall) if wrap["kind"] == "tube"
             else 2 * (wrap["width"] + wrap["height"] + 2 * wall))
    return wrap["length"] + wall, girth


def check_limits(parcels):
    """Each parcel is within what its carrier takes, measured here from the catalogue."""
    for parcel in parcels:
        if "carrier" not in parcel:
            continue
        carrier = CARRIERS[parcel["carrier"]]
        wrap = next(wrap for wrap in carrier["wraps"] if wrap["name"] == parcel["wrap"])
        outside, girth = outside_of(wrap)
        assert parcel["outside"] == outside and girth <= parcel["girth"] < girth + 0.2, parcel
        assert outside <= carrier.get("longest", outside) and outside + girth <= carrier.get("around", 1e9), parcel
        assert wrap["mass"] < parcel["mass"] <= carrier["heaviest"], parcel
        assert parcel.get("longest", 0) <= wrap["length"], parcel


def codes_of(parcels):
    """What lies in them, each thing by the code in its note."""
    return sorted(line["note"].split("  ")[-1] if "mm" in line["note"] else line["note"].split("  ")[0]
                  for parcel in parcels for line in parcel["contents"])


def things_of(desk, number):
    shown = desk.ask("order.show", {"order": number})
    return sorted([piece["code"] for window in shown["windows"] for piece in window["pieces"]]
                  + [window["kit"] for window in shown["windows"]])


def pack(workshop, number):
    """Takes an order through saw and stores until it is packed; the labels asked for with its last kit."""
    stores = workshop.client("stores")
    kits = [window["kit"] for window in stores.ask("order.show", {"order": number})["windows"]]
    small.fetch_all(stores, kits)
    small.cut_order(workshop, number)
    small.pick_all(stores, kits)
    small.match_all(stores, kits)
    return [stores.ask("kit.pack", {"kit": kit}) for kit in kits][-1]["labels"]


def check_short_order(workshop, folder):
    """A1001: tracks of under two metres go by the parcel carrier in a tube; nothing leaves before it is packed."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    desk.ask("order.take", small.order("A1001"))
    planned = desk.ask("parcel.list", {"order": "A1001"})
    assert planned["planned"] and codes_of(planned["parcels"]) == things_of(desk, "A1001")
    assert all(parcel["carrier"] == "LONGSHIP" for parcel in planned["parcels"]), "a track of 2.1 m is too long for the other"
    check_limits(planned["parcels"])
    labels = pack(workshop, "A1001")
    real = desk.ask("parcel.list", {"order": "A1001"})
    assert not real["planned"] and real["state"] == "packed"
    strip = [{name: parcel.get(name) for name in ("parcel", "of", "carrier", "wrap", "mass", "contents")} for parcel in real["parcels"]]
    assert strip == [{name: parcel.get(name) for name in ("parcel", "of", "carrier", "wrap", "mass", "contents")}
                     for parcel in planned["parcels"]], "packed otherwise than planned"
    assert [label["labels"] for label in labels] == [len(real["parcels"])], labels
    harness.until(20, "labels are printed", lambda: len(list(folder.glob("*"))) > 0)
    return [parcel["code"] for parcel in real["parcels"]]


def check_opened_again(workshop, codes):
    """Unpacking opens the parcels; packed once more they are new ones, and an old label is refused."""
    stores, desk = workshop.client("stores"), workshop.client("desk")
    kit = stores.ask("kit.list", {"order": "A1001"})["kits"][0]["kit"]
    stores.ask("kit.unpack", {"kit": kit})
    assert desk.ask("parcel.list", {"order": "A1001"})["planned"]
    stores.ask("kit.pack", {"kit": kit})
    fresh = [parcel["code"] for parcel in desk.ask("parcel.list", {"order": "A1001"})["parcels"]]
    assert not set(fresh) & set(codes), "an opened parcel came back"
    error = refused(lambda: stores.ask("parcel.send", {"parcel": codes[0]}), "parcel-opened")
    assert "no longer counts" in error.message
    return fresh


def check_sent(workshop, codes):
    """The last parcel dispatches its order; none goes twice, none while the order is held."""
    stores, desk = workshop.client("stores"), workshop.client("desk")
    assert stores.ask("scan.look", {"code": codes[0]})["can"][0]["verb"] == "parcel.send"
    desk.ask("order.hold", {"order": "A1001", "reason": "test"})
    refused(lambda: stores.ask("parcel.send", {"parcel": codes[0]}), "order-held")
    desk.ask("order.resume", {"order": "A1001"})
    for at, code in enumerate(codes):
        answer = stores.ask("parcel.send", {"parcel": code}, f"send-{at}")
        assert answer["left"] == codes[at + 1:], answer
        assert stores.ask("parcel.send", {"parcel": code}, f"send-{at}") == answer, "asked again it is sent again"
        if answer["left"]:
            refused(lambda: stores.ask("parcel.send", {"parcel": code}), "parcel-sent")
            refused(lambda: desk.ask("order.cancel", {"order": "A1001", "reason": "test"}), "parcels-closed")
            refused(lambda: stores.ask("kit.unpack", {"kit": "A1001/W1"}), "parcels-closed")
    assert answer["order_state"] == "dispatched" and desk.ask("order.show", {"order": "A1001"})["state"] == "dispatched"


def check_bent(workshop):
    """A bay's pieces are bent and fit into nothing: each goes by itself, with us."""
    desk = workshop.client("desk")
    number = next(name for name in (f"A10{n:02d}" for n in range(1, 13))
                  if any("bay" in window for window in small.order(name)["windows"]))
    desk.ask("order.take", small.order(number))
    parcels = desk.ask("parcel.list", {"order": number})["parcels"]
    assert codes_of(parcels) == things_of(desk, number)
    bays = [window for window in small.order(number)["windows"] if "bay" in window]
    own = [parcel for parcel in parcels if "carrier" not in parcel]
    assert own and all(len(parcel["contents"]) == 1 for parcel in own), parcels
    assert {parcel["contents"][0]["name"].split()[0].rstrip(":") for parcel in own} == {window["window"] for window in bays}
    desk.ask("order.cancel", {"order": number, "reason": "test"})


def check_whole_order(workshop):
    """order.dispatch sends what is still here in one go."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    order = small.order("A1001")
    order["order"] = "B1"
    desk.ask("order.take", order)
    pack(workshop, "B1")
    refused(lambda: workshop.client("saw").ask("parcel.send", {"parcel": "C1J"}), "not-allowed")
    stores.ask("order.dispatch", {"order": "B1"})
    assert {parcel["state"] for parcel in desk.ask("parcel.list", {"order": "B1"})["parcels"]} == {"sent"}


def check_client(workshop):
    """The command shows the list and draws both sheets."""
    (workshop.folder / "server.key").write_text(f"name daemon\npublic {workshop.daemon_key.public.decode()}\n")
    workshop.keys["stores"].write(workshop.folder / "stores.key")

    def ellwand(*words):
        return subprocess.run([harness.BUILD / "ellwand", "--server", workshop.endpoint, "--server-key",
                               workshop.folder / "server.key", "--key", workshop.folder / "stores.key", *words],
                              capture_output=True, text=True, timeout=60, check=True).stdout
    shown = ellwand("parcel", "list", "B1")
    assert "Longship" in shown or "LONGSHIP" in shown, shown
    assert json.loads(ellwand("parcel", "list", "B1", "--json"))["order"] == "B1"
    for option in ("--sheet", "--note"):
        path = workshop.folder / f"b1{option}.pdf"
        ellwand("parcel", "list", "B1", option, path)
        assert path.read_bytes().startswith(b"%PDF"), option


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        folder = small.fill(workshop)
        codes = check_short_order(workshop, folder)
        codes = check_opened_again(workshop, codes)
        check_sent(workshop, codes)
        check_bent(workshop)
        check_whole_order(workshop)
        check_client(workshop)
        small.assert_clean(workshop.client("manager"))
        workshop.stop()


main()
