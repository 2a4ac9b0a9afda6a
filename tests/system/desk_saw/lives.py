# SPDX-License-Identifier: Apache-2.0
"""How far an order has come: each function takes order `number` to that step of its life."""
import yard


def advance_taken(desk, saw, stores, number):
    del desk, saw, stores, number


def advance_ready(desk, saw, stores, number):
    del desk, stores, number
    yard.make_plan(saw)


def advance_released(desk, saw, stores, number):
    del desk, stores, number
    saw.ask("plan.release", {"plan": yard.make_plan(saw)["plan"]})


def advance_half_cut(desk, saw, stores, number):
    advance_released(desk, saw, stores, number)
    plan = saw.ask("plan.list", {"state": "released"})["plans"][0]["plan"]
    bars = saw.ask("plan.show", {"plan": plan})["bars"]
    ours = next(bar for bar in bars if any(piece["order"] == number for piece in bar["pieces"]))
    assert len(bars) > 1, "one bar holds everything; nothing can be half cut"
    saw.ask("bar.cut", {"bar": ours["code"]})


def advance_cut(desk, saw, stores, number):
    advance_released(desk, saw, stores, number)
    yard.cut_all(saw, saw.ask("plan.list", {"state": "released"})["plans"][0]["plan"])


def advance_picked(desk, saw, stores, number):
    advance_cut(desk, saw, stores, number)
    yard.pick(stores, [yard.windows_of(desk, number)[0]["kit"]])


def advance_matched(desk, saw, stores, number):
    advance_cut(desk, saw, stores, number)
    windows = yard.windows_of(desk, number)
    yard.pick(stores, [window["kit"] for window in windows])
    yard.match(stores, windows)


def advance_packed(desk, saw, stores, number):
    advance_matched(desk, saw, stores, number)
    for window in yard.windows_of(desk, number):
        stores.ask("kit.pack", {"kit": window["kit"]})


STEPS = [advance_taken, advance_ready, advance_released, advance_half_cut, advance_cut, advance_picked, advance_matched,
         advance_packed]
