# SPDX-License-Identifier: Apache-2.0
"""From an order to its cut pieces through the daemon: every step, what it refuses, and what happens when it is asked twice."""
import json

import yard
from yard import refused


def check_order(workshop):
    desk = workshop.client("desk")
    order = dict(yard.order("A1"), unit="in")
    taken = desk.ask("order.take", order, "take-A1")
    assert desk.ask("order.take", order, "take-A1") == taken, "asked twice, answered otherwise"
    assert taken["unit"] == "in"
    assert taken["state"] == "taken" and taken["short"] == [] and len(taken["windows"]) == 2
    # The catalogue's rule for a face-fixed track outside the recess: 150 past the opening of 1830 on each side.
    assert taken["windows"][0]["overall"] == 1830 + 2 * 150
    assert [piece["state"] for window in taken["windows"] for piece in window["pieces"]] == ["waiting"] * 2
    refused(lambda: desk.ask("order.take", yard.order("A1")), "order-exists")
    wrong_unit = yard.order("A2")
    wrong_unit["windows"][0]["width"] = 183
    error = refused(lambda: desk.ask("order.take", wrong_unit), "check-measure")
    assert error.where.startswith("windows[0]"), error.where
    unknown = yard.order("A2")
    unknown["windows"][1]["system"] = "NONE"
    assert refused(lambda: desk.ask("order.take", unknown), "unknown-system").where.startswith("windows[1]")
    undated = yard.order("A2")
    del undated["due"]
    assert refused(lambda: desk.ask("order.take", undated), "missing-field").where == "due"
    refused(lambda: workshop.client("saw").ask("order.take", yard.order("A2")), "not-allowed")
    assert [entry["order"] for entry in desk.ask("order.list", {"open": True})["orders"]] == ["A1"], "a refused order left something"
    by_code = desk.ask("order.show", {"order": taken["code"], "full": True})
    assert by_code["order"] == "A1" and by_code["windows"][0]["survey"] == yard.order("A1")["windows"][0]
    assert "no order A9 here" in refused(lambda: desk.ask("order.show", {"order": "A9"}), "not-found").message


def check_pages(workshop):
    desk = workshop.client("desk")
    for number in range(5):
        desk.ask("order.take", yard.order(f"P{number}", windows=1))
    seen, after = [], None
    while True:
        page = desk.ask("order.list", {"limit": 2, **({"after": after} if after else {})})
        seen += [entry["order"] for entry in page["orders"]]
        after = page["next"]
        if after is None:
            break
    assert seen == ["A1", "P0", "P1", "P2", "P3", "P4"], seen
    for number in range(5):
        desk.ask("order.cancel", {"order": f"P{number}", "reason": "only for pages"})
    assert desk.ask("order.list", {"state": "cancelled", "limit": 1})["orders"][0]["order"] == "P0"


def check_plan(workshop):
    saw = workshop.client("saw")
    refused(lambda: saw.ask("plan.make", {"saw": "NONE"}), "unknown-saw")
    assert saw.ask("plan.make", {"saw": yard.SAW, "system": "KITE"})["plans"] == []
    assert saw.ask("plan.make", {"saw": yard.SAW, "due": "2020-01-01"})["plans"] == []
    plan = yard.make_plan(saw)
    number = plan["plan"]
    assert plan["cost"] >= plan["bound"] and "unmet" not in plan or plan["unmet"] == []
    for bar in plan["bars"]:
        cut = sum(piece["length"] for piece in bar["pieces"])
        assert abs(bar["length"] - bar["lead_trim"] - cut - bar["dust"] - bar["remainder"]) < 1e-6, bar
    assert yard.states_of(saw, "A1") == ["planned", "planned"]
    refused(lambda: saw.ask("rack.write-off", {"bar": plan["bars"][0]["code"], "reason": "bent"}), "bar-in-plan")
    refused(lambda: saw.ask("bar.cut", {"plan_bar": plan["bars"][0]["plan_bar"]}), "step-not-allowed")
    refused(lambda: saw.ask("plan.cancel", {"plan": number}), "step-not-allowed")
    dropped = saw.ask("plan.drop", {"plan": number, "reason": "another look"}, "drop")
    assert dropped == saw.ask("plan.drop", {"plan": number, "reason": "another look"}, "drop")
    assert (dropped["state"], dropped["pieces"]) == ("dropped", 2)
    assert yard.states_of(saw, "A1") == ["waiting", "waiting"]
    refused(lambda: saw.ask("plan.release", {"plan": number}), "step-not-allowed")
    refused(lambda: saw.ask("plan.drop", {"plan": number}), "step-not-allowed")
    assert "no plan 1000000 here" in refused(lambda: saw.ask("plan.show", {"plan": 1000000}), "not-found").message
    yard.assert_clean(workshop)


def check_release(workshop):
    saw = workshop.client("saw")
    plan = yard.make_plan(saw)
    released = saw.ask("plan.release", {"plan": plan["plan"]}, "release")
    assert released == saw.ask("plan.release", {"plan": plan["plan"]}, "release")
    labels = {entry["kind"]: entry["labels"] for entry in released["labels"]}
    assert labels == {"cut-sheet": 1, "piece": 2, "kit": 2}, labels
    assert workshop.sql("select count(*) from ellwand.label where kind in ('piece', 'kit')") == ["4"]
    places = workshop.sql("select concat_ws(' ', item ->> 'unit', item ->> 'plan', (item ->> 'sequence') || '-' || (item ->> 'cut'))"
                          " from ellwand.print_job, jsonb_array_elements(payload) item where kind = 'piece' order by 1")
    cuts = [(bar["sequence"], cut + 1) for bar in plan["bars"] for cut in range(len(bar["pieces"]))]
    assert places == sorted(f"in {plan['plan']} {bar}-{cut}" for bar, cut in cuts), (places, cuts)
    used = {bar["bar"] for bar in plan["bars"]}
    assert {entry["bar"] for entry in saw.ask("rack.list", {"state": "bound"})["bars"]} == used
    refused(lambda: saw.ask("rack.write-off", {"bar": plan["bars"][0]["code"], "reason": "bent"}), "step-not-allowed")
    yard.assert_clean(workshop)
    return saw.ask("plan.show", {"plan": plan["plan"]})


def check_cut(workshop, plan):
    saw = workshop.client("saw")
    bar = plan["bars"][0]
    spoiled = bar["pieces"][0]
    other = workshop.client("desk").ask("order.show", {"order": "A1"})["windows"][0]["code"]
    refused(lambda: saw.ask("bar.cut", {}), "missing-field")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"], "plan_bar": bar["plan_bar"]}), "missing-field")
    refused(lambda: saw.ask("bar.cut", {"bar": other}), "wrong-code")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"][:-1] + ("0" if bar["code"][-1] != "0" else "1")}), "misread-code")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"], "spoiled": [1000000]}), "not-on-this-bar")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"], "remainder": bar["remainder"] + 20.1}), "check-measure")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"], "remainder": -1}), "out-of-range")
    refused(lambda: saw.ask("bar.cut", {"bar": bar["code"], "remainder": 50000, "confirmed": True}), "out-of-range")
    body = {"bar": bar["code"], "remainder": bar["remainder"] - 1.5, "spoiled": [spoiled["code"]], "place": "R7",
            "reason": "blade ran off"}
    cut = saw.ask("bar.cut", body, "cut")
    assert cut == saw.ask("bar.cut", body, "cut")
    assert cut["correction"] == -1.5 and cut["waste"] == spoiled["length"] and cut["pieces_waiting_again"] == 1
    total = cut["lead_trim"] + cut["pieces_length"] + cut["kerf_length"] + cut["waste"] + cut["remainder"]
    assert abs(cut["length"] + cut["correction"] - total) < 1e-6, cut
    assert cut["offcut"]["place"] == "R7" and cut["plan_done"] == (len(plan["bars"]) == 1)
    assert [entry["kind"] for entry in cut["labels"]] == ["offcut"]
    offcut = saw.ask("rack.list", {"kind": "offcut"})["bars"][0]
    assert (offcut["code"], offcut["length"], offcut["squared"]) == (cut["offcut"]["code"], body["remainder"], True)
    refused(lambda: saw.ask("bar.cut", {"plan_bar": bar["plan_bar"]}), "step-not-allowed")
    assert yard.states_of(saw, "A1") == ["cut", "waiting"]
    yard.assert_clean(workshop)


def check_again(workshop):
    """The mis-cut piece is planned again, and fits the offcut that its first try left, or a bar; a bad one comes back later."""
    saw = workshop.client("saw")
    again = yard.make_plan(saw)
    assert [len(bar["pieces"]) for bar in again["bars"]] == [1]
    saw.ask("plan.release", {"plan": again["plan"]})
    yard.cut_all(saw, again["plan"])
    assert saw.ask("plan.show", {"plan": again["plan"]})["state"] == "done"
    assert yard.states_of(saw, "A1") == ["cut", "cut"]
    piece = yard.pieces_of(saw, "A1")[0]["code"]
    refused(lambda: saw.ask("piece.recut", {"piece": piece}), "missing-field")
    saw.ask("piece.recut", {"piece": piece, "reason": "dented"})
    refused(lambda: saw.ask("piece.recut", {"piece": piece, "reason": "dented"}), "step-not-allowed")
    assert yard.states_of(saw, "A1") == ["cut", "waiting"]
    yard.assert_clean(workshop)


def check_rack(workshop):
    saw = workshop.client("saw")
    refused(lambda: yard.add(workshop, 5999), "check-measure")
    refused(lambda: saw.ask("rack.add", {"kind": "bar", "system": "LARK", "finish": "NONE", "length": 6000}), "unknown-system")
    code = yard.add(workshop, "72 1/2 in", kind="offcut", place="R9")[0]
    # 72.5 in are 1841.5 mm: the inch is 25.4 mm exactly (international yard and pound agreement, 1959).
    found = [entry for entry in saw.ask("rack.list", {"kind": "offcut", "longer": 1841.5})["bars"] if entry["code"] == code]
    assert [entry["length"] for entry in found] == [1841.5]
    saw.ask("rack.write-off", {"bar": code, "reason": "bent"})
    refused(lambda: saw.ask("rack.write-off", {"bar": code, "reason": "bent"}), "step-not-allowed")
    first = saw.ask("rack.list", {"limit": 1})
    assert first["count"] > 1 and first["next"] == first["bars"][0]["bar"]
    rest = saw.ask("rack.list", {"after": first["next"]})
    assert len(rest["bars"]) == first["count"] - 1
    yard.assert_clean(workshop)


def check_full_rack(workshop):
    """A rack without room: the plan gives up a remainder that is long enough, and so does the saw, unless told a place."""
    saw, desk = workshop.client("saw"), workshop.client("desk")
    workshop.sql("update ellwand.workshop set rack_places = 0")
    for number, place in (("R1", None), ("R2", "floor")):
        desk.ask("order.take", yard.order(number, windows=1))
        plan = yard.make_plan(saw)
        assert not any(bar["returns"] for bar in plan["bars"]), plan["bars"]
        bar = max(plan["bars"], key=lambda one: one["remainder"])
        assert bar["remainder"] >= 600, "nothing long enough is left over; this shows nothing"
        saw.ask("plan.release", {"plan": plan["plan"]})
        cut = saw.ask("bar.cut", {"bar": bar["code"], **({"place": place} if place else {})})
        assert (cut["offcut"] is None) == (place is None), cut
        yard.cut_all(saw, plan["plan"])
    workshop.sql("update ellwand.workshop set rack_places = null")
    yard.assert_clean(workshop)


def check_printing(workshop):
    """Everything that was queued is drawn and lies in the folder; what no station prints is said to be so."""
    saw = workshop.client("saw")
    yard.set_kinds(workshop, ["piece", "kit", "bar"])
    answer = saw.ask("rack.add", {"kind": "offcut", "system": "LARK", "finish": "WH", "length": 900})
    assert [(entry["kind"], entry["labels"], entry["station"]) for entry in answer["labels"]] == [("offcut", 0, None)]
    assert answer["labels"][0]["why"]
    yard.harness.until(30, "everything printed", lambda: workshop.sql(
        "select count(*) from ellwand.print_job where state <> 'printed'") == ["0"])
    jobs = int(workshop.sql("select count(*) from ellwand.print_job")[0])
    assert len(list((workshop.folder / "labels").glob("*.pdf"))) == jobs > 0
    kinds = workshop.sql("select distinct kind from ellwand.print_job order by kind")
    assert kinds == ["bar", "cut-sheet", "kit", "offcut", "piece"], kinds


def check_settings(workshop):
    """A manager says what goes back to the rack; the next plan goes by it."""
    desk, saw, manager = (workshop.client(role) for role in ("desk", "saw", "manager"))
    before = saw.ask("workshop.show", {})
    yard.refused(lambda: saw.ask("workshop.set", {"usable_remainder": 900}), "not-allowed")
    yard.refused(lambda: manager.ask("workshop.set", {}), "missing-field")
    yard.refused(lambda: manager.ask("workshop.set", {"value_percent": 101}), "out-of-range")
    after = manager.ask("workshop.set", {"usable_remainder": "90 cm", "rack_places": 4000})
    assert (after["usable_remainder"], after["value_percent"], after["rack_places"]) == (900, before["value_percent"], 4000)
    desk.ask("order.take", yard.order("SETTINGS"))
    plan = yard.make_plan(saw)["plan"]
    problem = json.loads(workshop.sql(f"select problem from ellwand.plan where id = {plan}")[0])
    assert problem["remainder"]["usable"] == 900 and problem["remainder"]["places"] > 0, problem["remainder"]
    desk.ask("order.cancel", {"order": "SETTINGS", "reason": "only for its plan"})
    settings = {name: before[name] for name in ("usable_remainder", "value_percent", "rack_places")}
    manager.ask("workshop.set", settings)
    assert saw.ask("workshop.show", {}) == before


def check_change(workshop):
    """A plan that is dropped and made again keeps its bars; so does most of it beside a rush order."""
    desk, saw = workshop.client("desk"), workshop.client("saw")

    def cuts(plan):
        return sorted(sorted(piece["piece"] for piece in bar["pieces"]) for bar in plan["bars"])

    desk.ask("order.take", yard.order("AGAIN"))
    first = yard.make_plan(saw)
    assert first.get("change") is None or first["change"]["kept"] <= first["change"]["earlier"], first
    saw.ask("plan.drop", {"plan": first["plan"], "reason": "to make it again"})
    second = yard.make_plan(saw)
    assert cuts(second) == cuts(first) and second["cost"] == first["cost"], (cuts(first), cuts(second))
    assert second["change"]["kept"] == second["change"]["bound"] == len(first["bars"]), second["change"]
    saw.ask("plan.drop", {"plan": second["plan"], "reason": "a rush order comes"})
    desk.ask("order.take", {**yard.order("RUSH"), "priority": 9})
    third = yard.make_plan(saw)
    assert third["change"]["earlier"] == len(first["bars"]) >= third["change"]["kept"], third["change"]
    desk.ask("order.cancel", {"order": "AGAIN", "reason": "only for its plans"})
    desk.ask("order.cancel", {"order": "RUSH", "reason": "only for its plans"})


def main():
    with yard.harness.Workshop() as workshop:
        workshop.start()
        yard.fill(workshop)
        check_order(workshop)
        check_pages(workshop)
        check_plan(workshop)
        check_cut(workshop, check_release(workshop))
        check_again(workshop)
        check_rack(workshop)
        check_full_rack(workshop)
        check_settings(workshop)
        check_change(workshop)
        check_printing(workshop)
        workshop.stop()


main()
