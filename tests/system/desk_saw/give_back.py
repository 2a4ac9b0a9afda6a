# SPDX-License-Identifier: Apache-2.0
"""Hold and cancel at every step of an order's life give everything back: parts to their bins, bars and pieces to rack and pool,
to the tenth of a millimetre, and the other order on the same bars goes on."""
import itertools

import lives
import yard


class Name:
    """An order's name, with another number in each scenario."""

    def __init__(self, word):
        self.word, self.number = word, ""


OURS, THEIRS, ALONE = Name("OURS"), Name("THEIRS"), Name("ALONE")
scenarios = itertools.count(1)


def take_both(desk):
    """OURS has long pieces (2130 and 1192 mm) and one too short for the rack; THEIRS shares bars with it."""
    ours = yard.order(OURS.number)
    short = dict(ours["windows"][1], window="W3", widths=[560, 560, 560])
    short["curtain"] = dict(short["curtain"])
    ours["windows"].append(short)
    desk.ask("order.take", ours)
    desk.ask("order.take", yard.order(THEIRS.number))


def check_hold(workshop, step):
    desk = workshop.client("desk")
    before = yard.states_of(desk, OURS.number)
    released = [plan["plan"] for plan in workshop.client("saw").ask("plan.list", {"state": "released"})["plans"]]
    held = desk.ask("order.hold", {"order": OURS.number, "reason": "colour"}, "hold" + OURS.number)
    assert held == desk.ask("order.hold", {"order": OURS.number, "reason": "colour"}, "hold" + OURS.number), "asked twice, answered otherwise"
    assert held["plans_changed"] == (released if "released" in before else []), (step, held)
    assert held["pieces_recalled"] == before.count("released"), (step, held)
    assert len(held["plans_dropped"]) == (1 if step == "ready" else 0), (step, held)
    cut = [state for state in before if state in ("cut", "matched")]
    assert yard.states_of(desk, OURS.number) == sorted(cut + ["waiting"] * (len(before) - len(cut))), step
    assert workshop.sql("select count(*) from ellwand.reservation join ellwand.kit_line on kit_line.id = kit_line"
                        " join ellwand.kit on kit.id = kit_line.kit join ellwand.job_window on job_window.id = kit.job_window"
                        f" join ellwand.job_order on job_order.id = job_window.job_order where job_order.number = '{OURS.number}'") == ["0"]
    yard.refused(lambda: desk.ask("order.hold", {"order": OURS.number, "reason": "again"}), "step-not-allowed")
    yard.assert_clean(workshop)


def check_resume(workshop, step):
    desk = workshop.client("desk")
    resumed = desk.ask("order.resume", {"order": OURS.number}, "resume" + OURS.number)
    assert resumed == desk.ask("order.resume", {"order": OURS.number}, "resume" + OURS.number)
    assert resumed["short"] == [] and resumed["state"] == ("packed" if step == "packed" else "taken"), step
    yard.refused(lambda: desk.ask("order.resume", {"order": OURS.number}), "step-not-allowed")
    yard.assert_clean(workshop)


def check_cancel(workshop, step, stock_of_theirs):
    desk, saw = workshop.client("desk"), workshop.client("saw")
    pieces = {piece["code"]: piece for piece in yard.pieces_of(desk, OURS.number)}
    long_ones = [piece for piece in pieces.values() if piece["state"] in ("cut", "matched") and piece["length"] >= 600]
    yard.refused(lambda: desk.ask("order.cancel", {"order": OURS.number}), "missing-field")
    gone = desk.ask("order.cancel", {"order": OURS.number, "reason": "not wanted"}, "cancel" + OURS.number)
    assert gone == desk.ask("order.cancel", {"order": OURS.number, "reason": "not wanted"}, "cancel" + OURS.number)
    assert set(yard.states_of(desk, OURS.number)) == {"cancelled"}, step
    assert len(gone["offcuts"]) == len(long_ones), (step, gone)
    on_rack = {entry["bar"]: entry["length"] for entry in saw.ask("rack.list", {"kind": "offcut"})["bars"]}
    assert sorted(on_rack[bar] for bar in gone["offcuts"]) == sorted(piece["length"] for piece in long_ones), step
    assert sum(entry["labels"] for entry in gone["labels"]) == len(long_ones), step
    assert bool(gone["put_back"]) == (step in ("picked", "matched", "packed")), step
    assert yard.stock_sums(workshop) == stock_of_theirs, f"{step}: the parts did not come back"
    scrapped = workshop.sql("select count(*) from ellwand.history join ellwand.piece on piece.id = subject"
                            " join ellwand.job_window on job_window.id = job_window"
                            " join ellwand.job_order on job_order.id = job_order where kind = 'piece'"
                            " and to_state = 'cancelled' and from_state in ('cut', 'matched') and reason like '%scrap%'"
                            f" and job_order.number = '{OURS.number}'")
    assert int(scrapped[0]) == sum(1 for piece in pieces.values()
                                   if piece["state"] in ("cut", "matched") and piece["length"] < 600), step
    yard.refused(lambda: desk.ask("order.cancel", {"order": OURS.number, "reason": "again"}), "step-not-allowed")
    yard.assert_clean(workshop)


def finish_theirs(workshop, step):
    """The order that shared bars with the cancelled one is cut to its end."""
    desk, saw = workshop.client("desk"), workshop.client("saw")
    for plan in saw.ask("plan.list", {"state": "released"})["plans"]:
        yard.cut_all(saw, plan["plan"])
    for plan in yard.make_plans(saw):
        assert plan["state"] == "ready", plan
        saw.ask("plan.release", {"plan": plan["plan"]})
        yard.cut_all(saw, plan["plan"])
    assert set(yard.states_of(desk, THEIRS.number)) == {"cut"}, step
    yard.assert_clean(workshop)


def check_step(workshop, advance, hold, resume):
    step = advance.__name__.removeprefix("advance_")
    scenario = next(scenarios)
    for name in (OURS, THEIRS, ALONE):
        name.number = f"{name.word}-{scenario}"
    desk, saw, stores = (workshop.client(role) for role in ("desk", "saw", "stores"))
    desk.ask("order.take", yard.order(ALONE.number))
    theirs = yard.stock_sums(workshop)
    desk.ask("order.cancel", {"order": ALONE.number, "reason": "only to see what THEIRS takes"})
    take_both(desk)
    advance(desk, saw, stores, OURS.number)
    yard.assert_clean(workshop)
    if hold:
        check_hold(workshop, step)
    if resume:
        check_resume(workshop, step)
    check_cancel(workshop, step, theirs)
    finish_theirs(workshop, step)


def main():
    with yard.harness.Workshop() as workshop:
        workshop.start()
        yard.fill(workshop, bars=60)
        for advance in lives.STEPS:
            check_step(workshop, advance, hold=False, resume=False)
            check_step(workshop, advance, hold=True, resume=True)
            check_step(workshop, advance, hold=True, resume=False)
        workshop.stop()


main()
