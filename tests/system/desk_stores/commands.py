# SPDX-License-Identifier: Apache-2.0
"""Commands of stores and order desk as people type them."""
import json

import small
from shell import Shell
from small import refused


def check_receive(stores):
    assert "Booked: 1" in stores.run("stock", "receive", "LK-GLIDER", "A1", "2 boxes", "--reason", "note 12")
    assert stores.json("stock", "list", "--part", "LK-GLIDER")["parts"][0]["on_hand"] == 200
    assert "pack" in stores.run("stock", "receive", "LK-LEAD", "A1", "2boxes", code=1)


def check_count(workshop, stores, manager):
    sheet = workshop.folder / "count.pdf"
    assert "Open: stock-take 1" in stores.run("count", "open", "A1", "--sheet", sheet)
    text = small.harness.run("pdftotext", "-layout", sheet, "-")
    assert "Bin A1" in text and "LK-GLIDER" in text and "200" not in text.replace("2026", ""), text
    shown = stores.run("count", "show", 1)
    assert "LK-GLIDER" in shown and "200" not in shown.replace("2026", ""), shown
    stores.run("count", "enter", "A1", "LK-GLIDER", code=2)
    stores.run("count", "enter", "A1", "LK-GLIDER=many", code=2)
    assert "Still to be counted: LK-GLIDER" in stores.run("count", "enter", "A1", "OV-SCREW=2", code=1)
    assert "once more" in stores.run("count", "enter", "A1", "LK-GLIDER=20", "OV-SCREW=2")
    assert "counted" in stores.run("count", "enter", 1, "LK-GLIDER=190")
    shown = manager.run("count", "show", 1)
    assert "-10" in shown and "books had" in shown, shown
    assert "A1" in stores.run("count", "list")
    assert "open" in manager.run("count", "recount", 1, "--reason", "really?")
    stores.run("count", "enter", 1, "LK-GLIDER=191", "OV-SCREW=2")
    assert "Booked: 2" in manager.run("count", "approve", 1, "--reason", "spilt")
    manager.run("count", "approve", "x", code=2)
    stores.run("count", "open", "R1", "--rack")
    stores.run("count", "enter", "R1", "LARK:WH", "--rack", code=2)
    assert "counted" in stores.run("count", "enter", "R1", "LARK:WH:90 cm", "--rack")
    assert "New on the rack: F1" in manager.run("count", "approve", 2)
    stores.run("count", "open", "A2", "--percent", "0", "--value", "0")
    assert "dropped" in stores.run("count", "drop", "A2")
    assert "No stock-take." in stores.run("count", "list")


def check_short(workshop, stores):
    stores.run("stock", "receive", "LK-STOP-WH", "A1", 4)
    workshop.client("desk").ask("order.take", small.order("A1001"))
    told = stores.run("kit", "short", "A1001/W1", "LK-STOP-WH", "A1", "--found", 0)
    assert "lost what was set aside" in told and "Still short" in told, told
    stores.run("kit", "short", "A1001/W1", "LK-STOP-WH", "A1", code=2)


def check_undo_and_loose(stores):
    stores.run("stock", "receive", "LK-ARM", "A2", 3)
    entry = stores.json("stock", "ledger", "LK-ARM")["entries"][0]["entry"]
    stores.run("stock", "undo", entry, code=2)
    stores.run("stock", "undo", "x", "--reason", "y", code=2)
    assert "Booked: 1" in stores.run("stock", "undo", entry, "--reason", "another part")
    assert "was undone by" in stores.run("stock", "undo", entry, "--reason", "once more", code=1)
    assert stores.json("stock", "ledger", "LK-ARM")["entries"][0]["undoes"] == entry
    assert "Nothing is set aside" in stores.run("stock", "loose")
    assert "idle" in stores.run("stock", "loose", "--days", 0)


def check_change(workshop, desk):
    """A file with the windows that change; a file of another order is refused."""
    path = workshop.folder / "anew.json"
    document = small.order("A1001")
    document["windows"] = [dict(document["windows"][0], width=1930)]
    path.write_text(json.dumps(document))
    told = desk.run("order", "change", "A1001", path, "--due", "2031-01-02", "--drop", "W2", "--reason", "measured again")
    assert "measured anew: W1; dropped: W2" in told and "-> 2031-01-02" in told and "A1001-R1" in told, told
    assert "measured anew: W1" in desk.run("order", "show", "A1001")
    assert "given up of" in desk.run("order", "show", "A1001-R1")
    assert "Nothing is other" in desk.run("order", "change", "A1001", "--due", "2031-01-02")
    assert "not of A1003" in desk.run("order", "change", "A1003", path, "--reason", "x", code=2)
    assert "Say what changes" in desk.run("order", "change", "A1001", code=1)
    path.write_text("[]")
    assert "one order" in desk.run("order", "change", "A1001", path, "--reason", "x", code=2)


def check_audit(workshop):
    """Asked one by one, as the command does, the audit tells what it tells at once."""
    manager = workshop.client("manager")
    whole = manager.ask("audit")
    assert whole["next"] is None and len(whole["checked"]) == 9
    assert Shell(workshop).json("audit") == whole
    assert manager.ask("audit", {"invariant": 8})["next"]["invariant"] == 9
    assert manager.ask("audit", {"invariant": 9})["next"] is None
    refused(lambda: manager.ask("audit", {"invariant": 10}), "out-of-range")


def check_survey(workshop, desk):
    """What is typed in with the catalogue of the daemon is an order that the daemon takes."""
    path = workshop.folder / "typed.json"
    small_window = small.order("A1002")["windows"][0]
    answers = ["A1002", "Invented: N. Nobody", "2026-12-04", "", "", "", "", "", "face", "outside", "", "1200", "1250", "420", "900",
               "600", "500", "masonry", "", "hand", "", "", "", small_window["finish"], "floor", "pencil", "", "", "280",
               "140", "", "", "", "", "", "done"]
    assert "in one piece" in desk.run("survey", "enter", path, given="".join(f"{line}\n" for line in answers))
    assert "A1002 taken: windows 1" in desk.run("order", "take", path)


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop)
        stores, manager = Shell(workshop, "stores"), Shell(workshop)
        check_receive(stores)
        check_count(workshop, stores, manager)
        check_short(workshop, stores)
        check_undo_and_loose(stores)
        check_change(workshop, Shell(workshop, "desk"))
        check_audit(workshop)
        check_survey(workshop, Shell(workshop, "desk"))
        small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
