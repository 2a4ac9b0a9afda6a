# SPDX-License-Identifier: Apache-2.0
"""An order changes at every step of its life: a window measured again, one added, one dropped. What was done for the old ones goes back,
what was done for the others stays, and the order is finished and sent as if it had been so from the start."""
import itertools

import lives
import yard

numbers = (f"CHANGED-{i}" for i in itertools.count(1))


def survey(number, windows=3):
    """W1 and W2 as in the demonstration, and W3, short."""
    document = yard.order(number)
    document["windows"].append(dict(document["windows"][1], window="W3", widths=[560, 560, 560]))
    document["windows"] = document["windows"][:windows]
    return document


def wider(number):
    return dict(survey(number)["windows"][0], width=1930)


def state_by_window(client, number):
    return {window["window"]: [piece["state"] for piece in window["pieces"]] for window in yard.windows_of(client, number)}


def wanted(workshop, number):
    """What the kits of an order are made of, by window and part."""
    return workshop.sql("select job_window.name, part.code, role, wanted from ellwand.kit_line join ellwand.kit on kit.id = kit_line.kit"
                        " join ellwand.job_window on job_window.id = kit.job_window join ellwand.job_order on job_order.id = job_order"
                        f" join ellwand.part on part.id = kit_line.part where number = '{number}' order by 1, 2, 3")


def reserved(workshop, number):
    return int(workshop.sql("select count(*) from ellwand.reservation join ellwand.kit_line on kit_line.id = kit_line"
                            " join ellwand.kit on kit.id = kit_line.kit join ellwand.job_window on job_window.id = kit.job_window"
                            f" join ellwand.job_order on job_order.id = job_order where number = '{number}'")[0])


def finish(workshop, number):
    """Plans, cuts, picks, packs and sends what is still to be done."""
    desk, saw, stores = (workshop.client(role) for role in ("desk", "saw", "stores"))
    for plan in saw.ask("plan.list", {"state": "released"})["plans"]:
        yard.cut_all(saw, plan["plan"])
    for plan in yard.make_plans(saw):
        saw.ask("plan.release", {"plan": plan["plan"]})
        yard.cut_all(saw, plan["plan"])
    windows = [window for window in yard.windows_of(desk, number) if window["kit_state"] != "packed"]
    yard.pick(stores, [window["kit"] for window in windows])
    yard.match(stores, [dict(window, pieces=[piece for piece in window["pieces"] if piece["state"] == "cut"]) for window in windows])
    for window in windows:
        stores.ask("kit.pack", {"kit": window["kit"]})
    desk.ask("order.dispatch", {"order": number})
    yard.assert_clean(workshop)


def check_step(workshop, advance):
    """W1 is measured again, W3 dropped, W4 comes in; W2 stays as it was."""
    number, fresh = next(numbers), next(numbers)
    desk, saw, stores = (workshop.client(role) for role in ("desk", "saw", "stores"))
    desk.ask("order.take", survey(number))
    advance(desk, saw, stores, number)
    before = state_by_window(desk, number)
    kits = {window["window"]: window["kit"] for window in yard.windows_of(desk, number)}
    fourth = dict(survey(number)["windows"][1], window="W4", widths=[905, 900, 903])
    body = {"order": number, "windows": [wider(number), fourth], "drop": ["W3"], "reason": "measured again"}
    changed = desk.ask("order.change", body, "change" + number)
    assert changed == desk.ask("order.change", body, "change" + number), "asked twice, answered otherwise"
    assert changed["what"] == {"replaced": ["W1"], "added": ["W4"], "dropped": ["W3"], "earlier": number + "-R1"}, changed
    assert changed["state"] == "taken" and changed["short"] == [], changed
    yard.assert_clean(workshop)

    # Only a plan that is not released is dropped whole; else W2 does not notice.
    after = state_by_window(desk, number)
    assert after.pop("W1") == ["waiting"] and after.pop("W4") == ["waiting"], after
    assert after == {"W2": ["waiting"] if before["W2"] == ["planned"] else before["W2"]}, (before, after)
    shown = desk.ask("order.show", {"order": number})
    assert [window["window"] for window in shown["windows"]] == ["W1", "W2", "W4"], "each in its place"
    assert {window["window"]: window["kit"] for window in shown["windows"]}["W2"] == kits["W2"]
    assert shown["changes"][0]["what"] == changed["what"] and shown["changes"][0]["reason"] == "measured again"
    earlier = desk.ask("order.show", {"order": changed["what"]["earlier"]})
    assert (earlier["state"], earlier["earlier_of"]) == ("cancelled", number), earlier
    assert set(yard.states_of(desk, earlier["order"])) == {"cancelled"}
    assert {window["kit"] for window in earlier["windows"]} == {kits["W1"], kits["W3"]}, "old labels are of what was given up"

    # The kits hold what an order taken with these windows would.
    document = survey(fresh, 2)
    document["windows"] = [wider(fresh), document["windows"][1], fourth]
    desk.ask("order.take", document)
    assert wanted(workshop, number) == wanted(workshop, fresh)
    desk.ask("order.cancel", {"order": fresh, "reason": "only to compare"})
    finish(workshop, number)


def check_packed(workshop):
    """A packed order that only loses a window is packed still, in new parcels; a held one stays held."""
    number = next(numbers)
    desk, saw, stores = (workshop.client(role) for role in ("desk", "saw", "stores"))
    desk.ask("order.take", survey(number))
    lives.advance_packed(desk, saw, stores, number)
    old = [parcel["code"] for parcel in desk.ask("parcel.list", {"order": number})["parcels"]]
    desk.ask("order.hold", {"order": number, "reason": "asked for time"})
    changed = desk.ask("order.change", {"order": number, "drop": ["W3"], "reason": "not wanted"})
    assert changed["state"] == "held", changed
    assert desk.ask("order.resume", {"order": number})["state"] == "packed"
    parcels = desk.ask("parcel.list", {"order": number})
    assert "planned" not in parcels or not parcels["planned"], "resumed, but its parcels stayed open"
    assert not set(old) & {parcel["code"] for parcel in parcels["parcels"]}
    changed = desk.ask("order.change", {"order": number, "drop": ["W2"], "reason": "not wanted"})
    assert changed["state"] == "packed" and changed["labels"], changed
    assert changed["what"]["earlier"] == number + "-R2", "the second one has a number of its own"
    yard.assert_clean(workshop)
    stores.ask("parcel.send", {"parcel": desk.ask("parcel.list", {"order": number})["parcels"][0]["code"]})
    error = yard.refused(lambda: desk.ask("order.change", {"order": number, "windows": [wider(number)], "reason": "late"}), "step-not-allowed")
    assert "dispatched" in error.message, error.message
    listed = [order["order"] for order in desk.ask("order.list", {})["orders"]]
    assert number in listed and number + "-R1" not in listed, "what was given up stands among the orders"
    assert number + "-R1" in [order["order"] for order in desk.ask("order.list", {"state": "cancelled"})["orders"]]


def check_head(workshop):
    """What an order says of itself changes alone, and says what it was."""
    number = next(numbers)
    desk = workshop.client("desk")
    desk.ask("order.take", survey(number))
    held = reserved(workshop, number)
    body = {"order": number, "due": "2031-02-03", "priority": 9, "customer": "Invented: another", "notes": "ring first", "unit": "in"}
    what = desk.ask("order.change", body)["what"]
    assert what["due"][1] == "2031-02-03" and what["priority"] == [8, 9] and what["unit"] == ["mm", "in"], what
    assert desk.ask("order.change", {"order": number, "notes": "", "priority": 9})["what"] == {"notes": ["ring first", ""]}
    shown = desk.ask("order.show", {"order": number})
    assert (shown["due"], shown["priority"], shown["customer"], shown["unit"]) == ("2031-02-03", 9, "Invented: another", "in")
    assert len(shown["changes"]) == 2 and "notes" not in shown
    assert reserved(workshop, number) == held
    assert desk.ask("order.change", {"order": number, "priority": 9})["what"] == {}, "nothing is other"
    assert len(desk.ask("order.show", {"order": number})["changes"]) == 2


def check_refusals(workshop):
    number = next(numbers)
    desk, saw = workshop.client("desk"), workshop.client("saw")
    desk.ask("order.take", survey(number, 2))
    before = (yard.stock_sums(workshop), yard.pieces_of(desk, number))
    more = {"order": number, "reason": "x"}
    yard.refused(lambda: saw.ask("order.change", {"order": number, "priority": 1}), "not-allowed")
    yard.refused(lambda: desk.ask("order.change", {"order": number}), "missing-field")
    yard.refused(lambda: desk.ask("order.change", {"order": number, "drop": ["W2"]}), "missing-field")
    yard.refused(lambda: desk.ask("order.change", {"order": "NONE", "priority": 1}), "not-found")
    yard.refused(lambda: desk.ask("order.change", dict(more, drop=["W9"])), "not-found")
    yard.refused(lambda: desk.ask("order.change", dict(more, drop=[7])), "not-found")
    yard.refused(lambda: desk.ask("order.change", dict(more, drop=["W1", "W2"])), "out-of-range")
    yard.refused(lambda: desk.ask("order.change", dict(more, drop=["W1"], windows=[wider(number)])), "twice-named")
    yard.refused(lambda: desk.ask("order.change", dict(more, windows=[wider(number), wider(number)])), "twice-named")
    error = yard.refused(lambda: desk.ask("order.change", dict(more, windows=[dict(wider(number), system="NONE")])), "unknown-system")
    assert error.where.startswith("windows[0]"), error.where
    assert before == (yard.stock_sums(workshop), yard.pieces_of(desk, number)), "a refused change left something"
    desk.ask("order.cancel", {"order": number, "reason": "x"})
    yard.refused(lambda: desk.ask("order.change", {"order": number, "priority": 1}), "step-not-allowed")


def main():
    with yard.harness.Workshop() as workshop:
        workshop.start()
        yard.fill(workshop, bars=60, kinds=("piece", "kit", "offcut", "bar", "parcel"))
        for advance in lives.STEPS:
            check_step(workshop, advance)
        check_packed(workshop)
        check_head(workshop)
        check_refusals(workshop)
        workshop.stop()


main()
