# SPDX-License-Identifier: Apache-2.0
"""Catalogue, stock, kits and dispatch through the daemon, from the first bin to the order that leaves."""
import threading

import small
from small import refused


def check_catalogue(workshop):
    manager = workshop.client("manager")
    document = small.catalogue()
    assert manager.ask("catalogue.export") == document, "the catalogue does not come out as it went in"
    changed = small.catalogue()
    changed["finishes"].append({"code": "GD", "name": "gold"})
    changed["parts"][0]["price"] += 1
    gone = changed["label_stocks"].pop()
    crowded = small.catalogue()
    sheet = {"width": 210, "height": 297, "columns": 4, "rows": 8, "left": 0, "top": 4.5, "step_x": 70, "step_y": 36}
    crowded["label_stocks"].append({"code": "CROWDED", "name": "Too many on A4", "width": 70, "height": 36, "sheet": sheet})
    place = f"label_stocks[{len(crowded['label_stocks']) - 1}].sheet.columns"
    assert refused(lambda: manager.ask("catalogue.import", {"catalogue": crowded, "dry_run": True}), "out-of-range").where == place
    report = manager.ask("catalogue.import", {"catalogue": changed, "dry_run": True})
    assert report["changes"] == {"finishes": {"added": ["GD"]}, "parts": {"changed": [changed["parts"][0]["code"]]},
                                 "label_stocks": {"removed": [gone["code"]]}}, report
    assert manager.ask("catalogue.export") == document, "a dry run changed something"
    assert manager.ask("catalogue.import", {"catalogue": changed})["version"] == 2
    assert manager.ask("catalogue.export") == changed
    manager.ask("catalogue.import", {"catalogue": document})
    assert manager.ask("catalogue.export") == document
    broken = small.catalogue()
    broken["systems"][0]["finishes"].append("NONE")
    refused(lambda: manager.ask("catalogue.import", {"catalogue": broken}), "unknown-choice")
    in_use = small.catalogue()
    in_use["label_stocks"] = [stock for stock in in_use["label_stocks"] if stock["code"] != "L100X50"]
    refused(lambda: manager.ask("catalogue.import", {"catalogue": in_use}), "in-use")
    refused(lambda: workshop.client("desk").ask("catalogue.import", {"catalogue": document}), "not-allowed")


def check_stock(workshop):
    stores = workshop.client("stores")
    small.receive(stores, "OV-SCREW", "A1", 100, "opening")
    small.receive(stores, "CORD-25", "B1", 12000.5)
    assert small.stock_of(stores, "CORD-25")["on_hand"] == 12000.5
    stores.ask("stock.move", {"lines": [{"part": "OV-SCREW", "from": "A1", "to": "A2", "quantity": 30}]})
    part = small.stock_of(stores, "OV-SCREW")
    assert [(place["bin"], place["on_hand"]) for place in part["bins"]] == [("A1", 70), ("A2", 30)]
    stores.ask("stock.adjust", {"reason": "counted", "lines": [{"part": part["code"], "bin": part["bins"][1]["code"], "counted": 28}]})
    assert small.stock_of(stores, "OV-SCREW")["on_hand"] == 98
    kinds = [(entry["kind"], entry["quantity"]) for entry in stores.ask("stock.ledger", {"part": "OV-SCREW"})["entries"]]
    assert kinds == [("adjustment", -2), ("move", -30), ("move", 30), ("opening", 100)] or \
        kinds == [("adjustment", -2), ("move", 30), ("move", -30), ("opening", 100)], kinds
    move = {"part": "OV-SCREW", "from": "A1", "to": "A2", "quantity": 71}
    refused(lambda: stores.ask("stock.move", {"lines": [move]}), "not-enough")
    refused(lambda: stores.ask("stock.adjust", {"lines": [{"part": "OV-SCREW", "bin": "A1", "by": -1}]}), "missing-field")
    line = {"part": "OV-SCREW", "bin": "A1", "quantity": 0.5}
    assert refused(lambda: stores.ask("stock.receive", {"lines": [line]}), "out-of-range").where == "lines[0].quantity"
    line = {"part": "OV-SCREWS", "bin": "A1", "quantity": 1}
    assert refused(lambda: stores.ask("stock.receive", {"lines": [line]}), "unknown-part").where == "lines[0].part"
    page = stores.ask("stock.list", {"limit": 1})
    assert page["next"] == page["parts"][0]["part"]
    assert stores.ask("stock.list", {"limit": 1, "after": page["next"]})["parts"][0]["part"] > page["next"]


def check_refusals_of_pick(stores, kit):
    shown = stores.ask("kit.show", {"kits": [kit]})
    stop = next(stop for stop in shown["walk"] if stop["part"] == "WT-GLIDER")
    pick = {"kit": kit, "part": stop["part"], "bin": stop["bin"]}
    assert "put it back" in refused(lambda: stores.ask("kit.pick", dict(pick, part="KT-SPLICE")), "wrong-part").message
    refused(lambda: stores.ask("kit.pick", dict(pick, quantity=stop["quantity"] + 1)), "wrong-quantity")
    assert stop["bin"] in refused(lambda: stores.ask("kit.pick", dict(pick, bin="B1")), "wrong-bin").message
    refused(lambda: stores.ask("kit.pick", dict(pick, bin="Z9")), "unknown-bin")
    refused(lambda: stores.ask("kit.pack", {"kit": kit}), "kit-not-complete")


def check_matching(stores, kit, other_kit):
    pieces = stores.ask("kit.show", {"kits": [kit]})["kits"][0]["pieces"]
    assert pieces
    for piece in pieces:
        wrong = refused(lambda: stores.ask("kit.match", {"kit": other_kit, "piece": piece["code"]}), "wrong-kit")
        assert kit in wrong.message
        assert stores.ask("scan.look", {"code": piece["code"]})["can"][0]["verb"] == "kit.match"
        assert stores.ask("kit.match", {"kit": kit, "piece": piece["code"]})["piece"]["state"] == "matched"
    refused(lambda: stores.ask("kit.match", {"kit": kit, "piece": pieces[0]["code"]}), "already-matched")
    stores.ask("kit.unmatch", {"kit": kit, "piece": pieces[0]["code"]})
    refused(lambda: stores.ask("kit.pack", {"kit": kit}), "pieces-not-matched")
    stores.ask("kit.match", {"kit": kit, "piece": pieces[0]["code"]})


def check_put_back(stores, kit):
    """A complete kit that loses a part is open again; the part lies where it came from and is still its own."""
    line = next(line for line in stores.ask("kit.show", {"kits": [kit]})["kits"][0]["lines"] if line["unit"] == "each")
    before = small.stock_of(stores, line["part"])
    assert stores.ask("kit.put-back", {"kit": kit, "part": line["part"], "quantity": 1})["state"] == "picking"
    after = small.stock_of(stores, line["part"])
    assert (after["on_hand"], after["reserved"]) == (before["on_hand"] + 1, before["reserved"] + 1)
    assert small.pick_all(stores, [kit]) == ["complete"]


def check_codes(workshop):
    """The database and the daemon spell scan codes alike, and both as ISO/IEC 7064 MOD 37-2 says: the sum of all characters,
    each weighted twice its right neighbour, is 1 modulo 37."""
    alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
    codes = workshop.sql("select ellwand.scan_code(kind, id) from unnest('{P,K,F,B,L,O,W,T}'::text[]) kind,"
                         " unnest(array[1, 2, 9, 10, 37, 38, 999, 1048, 2147483648, 999999999999999999]) id")
    assert len(codes) == 80
    for code in codes:
        assert sum(alphabet.index(letter) << place for place, letter in enumerate(reversed(code))) % 37 == 1, code
        try:
            workshop.client("desk").ask("scan.look", {"code": code})
        except small.harness.Refused as error:
            assert error.code == "not-found", (code, error)
    desk = workshop.client("desk")
    for kind, table in (("L", "bin"), ("T", "part"), ("O", "job_order"), ("W", "job_window"), ("P", "piece"), ("K", "kit")):
        for code in workshop.sql(f"select ellwand.scan_code('{kind}', id) from ellwand.{table} limit 3"):
            found = desk.ask("scan.look", {"code": code})
            assert found["code"] == code and found["name"] and (found["can"] or found["state"] in ("dispatched", "cancelled")), found
    for code in workshop.sql("select ellwand.scan_code(case kind when 'bar' then 'B' else 'F' end, id) from ellwand.bar limit 6"):
        found = desk.ask("scan.look", {"code": code})
        assert found["name"] and (found["can"] or found["state"] in ("cut", "written-off")), found
    check_issues(workshop, alphabet)
    wrong = codes[0][:-1] + alphabet[(alphabet.index(codes[0][-1]) + 1) % 37]
    refused(lambda: workshop.client("desk").ask("scan.look", {"code": wrong}), "misread-code")


def check_issues(workshop, alphabet):
    """The letters of a label printed again count like the letters of a spreadsheet's columns (common practice, no source): A to
    Z, AA to ZZ, AAA on; the code sums up as ISO/IEC 7064 says, is read back as it was, and is the one a thing has from then on."""
    letters = {0: "", 1: "A", 2: "B", 26: "Z", 27: "AA", 52: "AZ", 53: "BA", 702: "ZZ", 703: "AAA", 18278: "ZZZ"}
    spelled = workshop.sql(
        "begin; set local search_path = ellwand; "
        f"insert into label_issue (letter, subject, asked) select 'P', 900000 + issue, issue from unnest(array{list(letters)}) issue"
        " where issue > 0;"
        " select issue, spelled_code('P', 900000 + issue, issue), scan_code('P', 900000 + issue),"
        " (code_parts(scan_code('P', 900000 + issue))).issue, scan_code('K', 900000 + issue), spelled_code('K', 900000 + issue, 0)"
        f" from unnest(array{list(letters)}) issue; rollback")
    assert len(spelled) == len(letters)
    for issue, code, now, read, other, first in (line.split("|") for line in spelled):
        assert code == now and read == issue, (issue, code, now, read)
        assert code[:-1] == f"P{900000 + int(issue)}{letters[int(issue)]}", (issue, code)
        assert sum(alphabet.index(letter) << place for place, letter in enumerate(reversed(code))) % 37 == 1, code
        assert other == first, "another kind of thing with the same number keeps its code"


def check_job(workshop):
    desk, stores = workshop.client("desk"), workshop.client("stores")
    desk.ask("order.take", small.order("A1002"))
    kits = [entry["kit"] for entry in stores.ask("kit.list", {"order": "A1002"})["kits"]]
    assert len(kits) == 3
    small.fetch_all(stores, kits)
    assert stores.ask("kit.show", {"kits": kits})["short"] == []
    check_refusals_of_pick(stores, kits[0])
    assert small.pick_all(stores, kits) == ["complete"] * 3
    check_put_back(stores, kits[0])
    refused(lambda: stores.ask("kit.match", {"kit": kits[0], "piece": stores.ask("kit.show", {"kits": kits})["kits"][0]["pieces"][0]["code"]}),
            "not-cut")
    small.cut_order(workshop, "A1002")
    for kit, other in zip(kits, kits[1:] + kits[:1]):
        check_matching(stores, kit, other)
    refused(lambda: stores.ask("order.dispatch", {"order": "A1002"}), "not-packed")
    assert [stores.ask("kit.pack", {"kit": kit})["order_state"] for kit in kits] == ["taken", "taken", "packed"]
    assert stores.ask("kit.unpack", {"kit": "A1002/" + desk.ask("order.show", {"order": "A1002"})["windows"][0]["window"]})["order_state"] == "taken"
    assert stores.ask("kit.pack", {"kit": kits[0]})["order_state"] == "packed"
    sent = desk.ask("order.dispatch", {"order": "A1002"})
    assert sent["kits"] == 3 and sent["pieces"] >= 3, sent
    refused(lambda: desk.ask("order.dispatch", {"order": "A1002"}), "order-dispatched")


def check_short_pick(workshop):
    """A bin with less than the books say: the books follow, the kit due last gives up, and takes from elsewhere."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    part = "LK-STOP-WH"
    small.receive(stores, part, "A1", 4)
    small.receive(stores, part, "C1", 1)
    early, late = small.order("A1001"), small.order("A1001")
    early.update(order="S1", due="2026-12-01", windows=early["windows"][:1])
    late.update(order="S2", due="2026-12-02", windows=late["windows"][:1])
    for order in (early, late):
        desk.ask("order.take", order)
    kits = [stores.ask("kit.list", {"order": number})["kits"][0]["kit"] for number in ("S1", "S2")]
    short = {"kit": kits[1], "part": part, "bin": "A1", "found": 1}
    refused(lambda: stores.ask("kit.short", dict(short, found=4)), "not-short")
    refused(lambda: stores.ask("kit.short", dict(short, bin="B1")), "wrong-bin")
    refused(lambda: stores.ask("kit.short", dict(short, batch="X")), "wrong-batch")
    answer = stores.ask("kit.short", short)
    assert [(lost["kit"], lost["quantity"]) for lost in answer["given_up"]] == [(kits[0], 1), (kits[1], 2)], answer
    assert answer["handed_on"]["orders"] == ["S1"], answer  # due first: it gets the one elsewhere
    assert next(entry["short"] for entry in answer["handed_on"]["short"] if entry["part"] == part) == 2
    assert answer["kit"]["kit"] == kits[1]
    entry = stores.ask("stock.ledger", {"part": part})["entries"][0]
    assert entry["quantity"] == -3 and entry["reason"] == f"short pick for kit {kits[1]}: 1 found", entry
    for number in ("S1", "S2"):
        desk.ask("order.cancel", {"order": number, "reason": "test"})


def check_batches(workshop):
    """Of two batches in one bin the one set aside is picked, and no other."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    part = "LK-STOP-BZ"
    for batch, quantity in (("B7", 2), ("B8", 50)):
        stores.ask("stock.receive", {"lines": [{"part": part, "bin": "A2", "batch": batch, "quantity": quantity}]})
    order = small.order("A1001")
    order.update(order="S3", windows=order["windows"][:1])
    order["windows"][0]["finish"] = "BZ"
    desk.ask("order.take", order)
    kit = stores.ask("kit.list", {"order": "S3"})["kits"][0]["kit"]
    stop = next(stop for stop in stores.ask("kit.show", {"kits": [kit]})["walk"] if stop["part"] == part)
    assert stop["batch"] == "B7", stop
    pick = {"kit": kit, "part": part, "bin": "A2"}
    assert "B7" in refused(lambda: stores.ask("kit.pick", dict(pick, batch="B8")), "wrong-batch").message
    refused(lambda: stores.ask("kit.pick", dict(pick, batch="B9")), "wrong-batch")
    stores.ask("kit.pick", pick)
    batches = {place["batch"]: place["on_hand"] for place in small.stock_of(stores, part)["bins"]}
    assert batches == {"B8": 50}, batches
    stores.ask("kit.put-back", {"kit": kit, "part": part})
    desk.ask("order.cancel", {"order": "S3", "reason": "test"})


def check_undo(workshop):
    """A mistake is taken back once, by a counter-entry; what it had been promised to is told."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    part = "LK-STOP-SI"
    small.receive(stores, part, "A1", 9)
    stores.ask("stock.move", {"lines": [{"part": part, "from": "A1", "to": "C1", "quantity": 4}]})

    def entries():
        return stores.ask("stock.ledger", {"part": part})["entries"]
    moved, received = entries()[0], entries()[-1]
    refused(lambda: stores.ask("stock.undo", {"entry": received["entry"]}), "missing-field")
    undo = {"entry": received["entry"], "reason": "wrong part"}
    assert "A1" in refused(lambda: stores.ask("stock.undo", undo), "not-enough").message
    assert stores.ask("stock.undo", {"entry": moved["entry"], "reason": "wrong bin"})["entries"] == 2
    assert [(place["bin"], place["on_hand"]) for place in small.stock_of(stores, part)["bins"]] == [("A1", 9)]
    refused(lambda: stores.ask("stock.undo", {"entry": moved["entry"], "reason": "again"}), "already-undone")
    refused(lambda: stores.ask("stock.undo", {"entry": entries()[0]["entry"], "reason": "again"}), "cannot-undo")
    order = small.order("A1001")
    order.update(order="S4", windows=order["windows"][:1])
    order["windows"][0]["finish"] = "SI"
    desk.ask("order.take", order)
    kit = stores.ask("kit.list", {"order": "S4"})["kits"][0]["kit"]
    stores.ask("kit.pick", {"kit": kit, "part": part, "bin": "A1"})
    refused(lambda: stores.ask("stock.undo", {"entry": entries()[0]["entry"], "reason": "x"}), "cannot-undo")
    stores.ask("kit.put-back", {"kit": kit, "part": part})
    answer = stores.ask("stock.undo", undo)
    assert [(lost["order"], lost["quantity"]) for lost in answer["given_up"]] == [("S4", 2)], answer
    assert entries()[0]["undoes"] == received["entry"] and entries()[-1]["undone_by"] == entries()[0]["entry"]
    refused(lambda: stores.ask("stock.undo", {"entry": 10 ** 12, "reason": "x"}), "not-found")
    check_undo_race(workshop, part)
    desk.ask("order.cancel", {"order": "S4", "reason": "test"})


def check_undo_race(workshop, part):
    """Two people take the same movement back: it is taken back once."""
    clients = [workshop.client("stores"), workshop.client("manager")]
    for number in range(6):
        small.receive(clients[0], part, "A2", 5)
        entry = clients[0].ask("stock.ledger", {"part": part})["entries"][0]["entry"]
        outcomes = []

        def undo(client):
            try:
                outcomes.append(client.ask("stock.undo", {"entry": entry, "reason": "race"})["entries"])
            except small.harness.Refused as error:
                outcomes.append(error.code)
        threads = [threading.Thread(target=undo, args=(client,)) for client in clients]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join(30)
        assert sorted(map(str, outcomes)) == ["1", "already-undone"], (number, outcomes)


def check_loose(workshop):
    """What is set aside and does not move is listed with why, and no longer once it moves."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    small.receive(stores, "LK-STOP-WH", "A2", 10)
    order = small.order("A1001")
    order.update(order="S5", due="2020-01-01", windows=order["windows"][:1])
    desk.ask("order.take", order)
    assert [entry for entry in stores.ask("stock.loose")["reservations"] if entry["order"] == "S5"] == []
    listed = [entry for entry in stores.ask("stock.loose", {"days": 0})["reservations"] if entry["order"] == "S5"]
    stops = [entry for entry in listed if entry["part"] == "LK-STOP-WH"]
    assert {stop["why"] for stop in stops} == {"overdue"} and sum(stop["quantity"] for stop in stops) == 2, stops
    page = stores.ask("stock.loose", {"days": 0, "limit": 1})
    assert page["next"] == page["reservations"][0]["reservation"]
    desk.ask("order.cancel", {"order": "S5", "reason": "test"})
    assert [entry for entry in stores.ask("stock.loose", {"days": 0})["reservations"] if entry["order"] == "S5"] == []


def check_labels(workshop):
    """Bins and the parcel of the packed order have their labels, drawn without complaint."""
    stores = workshop.client("stores")
    assert stores.ask("bin.label", {"bins": ["A1", "B1"]})["labels"][0]["labels"] == 2
    refused(lambda: stores.ask("bin.label", {"bins": ["Z9"]}), "unknown-bin")
    small.harness.until(20, "labels are printed", lambda: not stores.ask("print.list")["jobs"])
    assert {"bin", "parcel"} <= {job["kind"] for job in stores.ask("print.list", {"state": "printed"})["jobs"]}


def check_handing_on(workshop):
    """Two orders want what one of them can have: the one due first gets it, and the other when the first is cancelled."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    late, soon = small.order("A1001"), small.order("A1001")
    late.update(order="LATE", due="2026-12-20")
    soon.update(order="SOON", due="2026-12-10")
    desk.ask("order.take", late)
    desk.ask("order.take", soon)
    wanted = sum(line["wanted"] for kit in stores.ask("kit.list", {"order": "SOON"})["kits"]
                 for line in stores.ask("kit.show", {"kits": [kit["kit"]]})["kits"][0]["lines"] if line["part"] == "LK-GLIDER")
    assert wanted > 0
    answer = small.receive(stores, "LK-GLIDER", "C1", wanted)
    assert answer["handed_on"]["orders"] == ["SOON"], answer
    assert {entry["order"] for entry in answer["handed_on"]["short"]} == {"LATE"}
    desk.ask("order.cancel", {"order": "SOON", "reason": "test"})
    glider = small.stock_of(stores, "LK-GLIDER")
    assert (glider["free"], glider["short"]) == (0, 0), glider
    # Fewer are there than the books say: the kit loses them and is short.
    stores.ask("stock.adjust", {"reason": "spilt", "lines": [{"part": "LK-GLIDER", "bin": "C1", "by": -2}]})
    assert small.stock_of(stores, "LK-GLIDER")["short"] == 2


def check_keys(workshop):
    manager = workshop.client("manager")
    newcomer = small.harness.Key("newcomer")
    manager.ask("key.add", {"name": "newcomer", "public_key": newcomer.public.decode(), "roles": ["stores"]})
    workshop.keys["newcomer"] = newcomer
    client = workshop.client("newcomer")
    assert client.insist("stock.list")["parts"]
    manager.ask("key.disable", {"name": "newcomer"})
    refused(lambda: client.ask("stock.list"), "key-disabled")
    refused(lambda: manager.ask("key.disable", {"name": "manager"}), "own-key")
    assert [key["name"] for key in manager.ask("key.list")["keys"] if not key["enabled"]] == ["newcomer"]


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop)
        check_catalogue(workshop)
        check_stock(workshop)
        check_job(workshop)
        check_labels(workshop)
        check_short_pick(workshop)
        check_batches(workshop)
        check_undo(workshop)
        check_loose(workshop)
        check_handing_on(workshop)
        check_keys(workshop)
        check_codes(workshop)
        small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
