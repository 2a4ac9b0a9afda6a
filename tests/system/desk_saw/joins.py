# SPDX-License-Identifier: Apache-2.0
"""A track that may be joined at several brackets: the plan takes the place that cuts best, and every paper then says so."""
import json

import yard
from yard import refused

BAR = 3000


def take(desk, number):
    """A wide window whose track a carrier takes in two parts."""
    order = yard.order(number, windows=1)
    order["windows"][0].update({"width": 3900, "wall_left": 900, "wall_right": 900, "carrier_longest": 2990})
    desk.ask("order.take", order)
    return window(desk, number)


def take_short(desk, number, length):
    """A track so long: inside its recess it is 10 mm shorter than that."""
    order = yard.order(number)
    order["windows"] = [dict(order["windows"][1], widths=[length + 10] * 3)]
    desk.ask("order.take", order)
    assert window(desk, number)["overall"] == length


def window(client, number):
    return client.ask("order.show", {"order": number, "full": True})["windows"][0]


def lengths(shown):
    return [piece["length"] for piece in shown["pieces"]]


def check_consistent(shown):
    """Pieces of the pool, take-off, marks and loads of a window tell of the same joins."""
    takeoff = shown["takeoff"]
    split = takeoff["splits"][0]
    assert lengths(shown) == [piece["length"] for piece in takeoff["pieces"]] == split["pieces"], shown
    assert [mark["from_left"] for mark in takeoff["brackets"] if mark["kind"] == "join"] == split["joins"]
    assert takeoff["hanging"] == split["hanging"]
    assert abs(sum(lengths(shown)) - takeoff["cut_total"]) < 1e-6


def printed(workshop, kind):
    """Payloads of all labels of a kind that were ever queued."""
    return [label for row in workshop.sql(f"select payload from ellwand.print_job where kind = '{kind}' order by id")
            for label in json.loads(row)]


def sheet_text(workshop, number):
    """The words of an order's fitting sheet, as the client draws it."""
    key, server, pdf = (workshop.folder / name for name in ("desk.key", "server.key.public", f"{number}.pdf"))
    if not key.exists():
        workshop.keys["desk"].write(key)
        server.write_text(f"name server\npublic {workshop.daemon_key.public.decode()}\n")
    yard.harness.run(yard.harness.BUILD / "ellwand", "sheet", number, "--out", pdf, "--server", workshop.endpoint,
                     "--server-key", server, "--key", key)
    return yard.harness.run("pdftotext", "-layout", pdf, "-")


def check_choice(workshop):
    """By hand: of two equal halves and a short track none fits beside another on a bar of 3000 mm, which makes three bars; a
    join further out leaves a piece that the short track fits beside."""
    desk, saw, stores = (workshop.client(role) for role in ("desk", "saw", "stores"))
    first = take(desk, "J1")
    splits = first["takeoff"]["splits"]
    check_consistent(first)
    assert first["join_open"] and len(splits) > 1, splits
    half, short = min(lengths(first)), min(min(split["pieces"]) for split in splits)
    # The short track: with kerf and trim of 20 mm at most it goes beside the shortest piece, and beside no half.
    other = BAR - 20 - short
    assert other + half > BAR and 2 * half > BAR and short < half, (other, half, short)
    take_short(desk, "J2", other)
    before = stores.ask("kit.show", {"kits": [first["kit"]]})
    assert "Not final" in sheet_text(workshop, "J1")

    plan = yard.make_plan(saw)
    assert len(plan["bars"]) == 2 and plan["proven"], plan
    join = [entry for entry in plan["joins"] if entry["order"] == "J1"]
    assert len(join) == 1 and join[0]["moved"] and join[0]["ways"] == len(splits) and not join[0]["more_ways"], join
    after = window(desk, "J1")
    check_consistent(after)
    assert lengths(after) == join[0]["lengths"] and short in lengths(after), after
    assert sorted(map(str, after["takeoff"]["splits"])) == sorted(map(str, splits)), "a split was lost"
    changed = {name for name in first["takeoff"] if first["takeoff"][name] != after["takeoff"][name]}
    assert changed == {"pieces", "splits", "brackets", "hanging"}, changed
    cut = {piece["piece"]: piece["length"] for bar in plan["bars"] for piece in bar["pieces"]}
    assert all(cut[piece["piece"]] == piece["length"] for piece in after["pieces"]), cut
    assert stores.ask("kit.show", {"kits": [first["kit"]]})["kits"][0]["lines"] == before["kits"][0]["lines"]
    yard.assert_clean(workshop)
    return plan


def check_papers(workshop, plan):
    """Labels, cut sheet, kit and fitting sheet name the lengths and the join that were chosen."""
    saw, stores = workshop.client("saw"), workshop.client("stores")
    saw.ask("plan.release", {"plan": plan["plan"]})
    shown = window(saw, "J1")
    assert "join_open" not in shown
    labels = [label for label in printed(workshop, "piece") if label["order"] == "J1"]
    assert [(label["piece"], label["length"]) for label in sorted(labels, key=lambda one: one["piece"])] == list(
        enumerate(lengths(shown), 1))
    assert {label["join_end"] for label in labels} == {"left", "right"}
    on_sheet = {piece["code"]: piece["length"] for sheet in printed(workshop, "cut-sheet") for bar in sheet["bars"] for piece in bar["pieces"]}
    assert all(on_sheet[piece["code"]] == piece["length"] for piece in shown["pieces"]), on_sheet
    kit = stores.ask("kit.show", {"kits": [shown["kit"]]})["kits"][0]
    assert [piece["length"] for piece in kit["pieces"]] == lengths(shown)
    text = sheet_text(workshop, "J1")
    assert "Not final" not in text
    for number in lengths(shown) + shown["takeoff"]["splits"][0]["joins"]:
        assert f"{number:g}" in text, f"{number:g} is not on the fitting sheet:\n{text}"


def check_settled(workshop, plan):
    """What was once released stays joined as it is, whether it is recalled or cut again."""
    desk, saw = workshop.client("desk"), workshop.client("saw")
    chosen = window(desk, "J1")
    saw.ask("plan.drop", {"plan": plan["plan"], "reason": "another look"})
    again = yard.make_plan(saw)
    assert "joins" not in again and lengths(window(desk, "J1")) == lengths(chosen), again
    saw.ask("plan.release", {"plan": again["plan"]})
    yard.cut_all(saw, again["plan"])
    for piece in window(desk, "J1")["pieces"]:  # their labels were printed again, with codes of their own
        saw.ask("piece.recut", {"piece": piece["code"], "reason": "dented"})
    recut = yard.make_plan(saw)
    assert "joins" not in recut and window(desk, "J1")["takeoff"] == chosen["takeoff"]
    yard.assert_clean(workshop)
    saw.ask("plan.drop", {"plan": recut["plan"], "reason": "enough"})


def check_open_again(workshop):
    """A ready plan that is dropped leaves the choice open; pieces of one track that part ways do not change."""
    desk, saw = workshop.client("desk"), workshop.client("saw")
    desk.ask("order.cancel", {"order": "J1", "reason": "done"})
    desk.ask("order.cancel", {"order": "J2", "reason": "done"})
    take(desk, "J3")
    plan = yard.make_plan(saw)
    saw.ask("plan.drop", {"plan": plan["plan"], "reason": "another look"})
    shown = window(desk, "J3")
    check_consistent(shown)
    assert shown["join_open"]
    second = yard.make_plan(saw)
    assert second["joins"][0]["ways"] == plan["joins"][0]["ways"] and not second["joins"][0]["moved"], second["joins"]
    desk.ask("order.cancel", {"order": "J3", "reason": "changed their mind"})
    refused(lambda: saw.ask("plan.release", {"plan": second["plan"]}), "step-not-allowed")
    yard.assert_clean(workshop)


def main():
    with yard.harness.Workshop() as workshop:
        workshop.start()
        yard.fill(workshop, bars=0)
        yard.add(workshop, BAR, count=12)
        plan = check_choice(workshop)
        check_papers(workshop, plan)
        check_settled(workshop, plan)
        check_open_again(workshop)
        workshop.stop()


main()
