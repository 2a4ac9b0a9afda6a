# SPDX-License-Identifier: Apache-2.0
"""The commands `ellwand purchase ..` as a manager types them."""
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "desk_stores"))
import small  # noqa: E402  (the path is set above)
from shell import Shell  # noqa: E402


def check_change(shell, number, lines):
    first, last = lines[0]["line"], lines[-1]["line"]
    changed = shell.json("purchase", "change", number, "--quantity", f"{first}=40", "--price", f"{first}=7", "--drop", last,
                         "--add", "LARK WH 6 m=2", "--add", "LK-GLIDER=12", "--reason", "round numbers")["lines"]
    assert (changed[0]["quantity"], changed[0]["price"]) == (40, 7)
    assert last not in [line["line"] for line in changed]
    assert [(line["code"], line["quantity"]) for line in changed[-2:]] == [("LARK WH 6000", 2), ("LK-GLIDER", 12)], changed
    for words in (("--quantity", "40"), ("--quantity", f"{first}=many"), ("--drop", "x"), ("--add", "LK-GLIDER")):
        shell.run("purchase", "change", number, *words, code=2)
    return changed


def check_receive(shell, number, code):
    shell.run("purchase", "receive", number, code, "A1", "41", code=1)
    told = shell.run("purchase", "receive", number, code, "A1", "41", "--over", "--reason", "note 7")
    assert "Booked: 1" in told and f"{code}" in told, told
    told = shell.run("purchase", "receive", number, "LARK", "WH", "600 cm", "--bars", "--count", "2", "--batch", "9")
    assert told.count("LARK WH 6000") == 1, told
    shell.run("purchase", "receive", number, code, code=2)
    shell.run("purchase", "receive", number, "LARK", "WH", "6 m", "--bars", code=1)


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        workshop.client("desk").ask("order.take", small.order("A1002"))
        shell = Shell(workshop)
        why = shell.run("reorder", "--why")
        assert "below the reorder point of" in " ".join(why.split()), why
        numbers = [entry["purchase"] for entry in shell.json("purchase", "propose")["purchases"]]
        assert "Proposed already" in shell.run("purchase", "propose")
        shown = {number: shell.json("purchase", "show", number)["lines"] for number in numbers}
        number = max(numbers, key=lambda each: len(shown[each]))
        changed = check_change(shell, number, shown[number])
        assert "2030-01-07" in shell.run("purchase", "order", number, "--expected", "2030-01-07")
        assert shell.run("purchase", "list").count("proposed") == len(numbers) - 1
        check_receive(shell, number, changed[0]["code"])
        shell.run("purchase", "cancel", number, code=1)
        assert "sold out" in shell.run("purchase", "cancel", number, "--reason", "sold out")
        assert [entry["purchase"] for entry in shell.json("purchase", "list", "--state", "received")["purchases"]] == [number]
        shell.run("purchase", "show", "seven", code=2)
        small.assert_clean(workshop.client("manager"))
        workshop.stop()


main()
