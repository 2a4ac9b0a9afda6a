# SPDX-License-Identifier: Apache-2.0
"""How long each verb takes on years of books (fill.sql), over the wire, and whether its plans grow with history.

    deploy/with-services /usr/bin/python3 tests/bench/stores/screens.py [VERB...]

A table of medians and 99th percentiles; then, with auto_explain, each scan that reads a growing table from end to end,
and each that reads much of it. Nothing here is a test.
"""
import collections
import itertools
import statistics
import sys
import time

import books
from books import harness, small

REPEATS = 40
# Tables that grow with the years; whatever reads one of them whole gets slower with them.
GROWING = {"ledger", "job_order", "job_window", "kit", "kit_line", "piece", "history", "request_log", "label", "print_job",
           "plan", "plan_bar", "bar", "purchase", "purchase_line", "purchase_receipt", "stock"}
MUCH = 5000
# Not a screen: what it is for is to read everything, or it takes a file in.
WHOLE = {"audit": "reads every row, on purpose", "catalogue.import": "takes a whole file in",
         "ping": "is answered without a database"}


class Round:
    """Things of the filled workshop that are still fresh, for verbs that use them up."""

    def __init__(self, workshop):
        self.workshop = workshop
        self.clients = {role: workshop.client(role) for role in workshop.keys}
        self.fresh = itertools.count()
        first = books.PAST + 1
        # Kits of open orders: waiting ones, those being picked (see fill.sql).
        self.waiting = iter([number for number in range(first, books.ORDERS) if number % 4 in (0, 1)])
        self.picking = iter([number for number in range(first, books.ORDERS) if number % 4 == 2])
        self.labelled = itertools.count(1)  # kits of long ago, whose labels were printed

    def ask(self, role, verb, body):
        return self.clients[role].ask(verb, body, seconds=60)

    def kit(self, numbers):
        return f"N{next(numbers)}/W1"


def readers():
    """(verb, role, what of it, body) of every question."""
    past, open_order = f"N{books.PAST // 2}", f"N{books.PAST + 9}"
    return [
        ("order.list", "desk", "", {}), ("order.list", "desk", "open", {"open": True}),
        ("order.list", "desk", "late", {"late": True}), ("order.list", "desk", "state", {"state": "held"}),
        ("order.list", "desk", "last page", {"after": open_order}),
        ("order.show", "desk", "", {"order": open_order}), ("order.show", "desk", "past", {"order": past, "full": True}),
        ("kit.list", "stores", "", {}), ("kit.list", "stores", "state", {"state": "complete"}),
        ("kit.list", "stores", "cancelled", {"state": "cancelled"}), ("kit.list", "stores", "order", {"order": open_order}),
        ("kit.list", "stores", "dispatched", {"state": "dispatched"}),
        ("kit.show", "stores", "one", {"kits": [f"{open_order}/W1"]}),
        ("kit.show", "stores", "forty", {"kits": [f"N{books.PAST + 1 + number}/W1" for number in range(40)]}),
        ("stock.list", "stores", "", {}), ("stock.list", "stores", "part", {"part": "LK-GLIDER"}),
        ("stock.list", "stores", "short", {"short": True}), ("stock.list", "stores", "last page", {"after": "FORMER-9"}),
        ("stock.ledger", "stores", "", {"part": "LK-GLIDER"}), ("bin.list", "stores", "", {}),
        ("scan.look", "stores", "kit", {"code": books.scan_code("K", books.PAST + 9)}),
        ("print.list", "stores", "", {}), ("print.list", "stores", "held", {"state": "held"}),
        ("print.list", "stores", "cancelled", {"state": "cancelled"}), ("station.list", "stores", "", {}),
        ("plan.list", "saw", "", {}), ("plan.list", "saw", "live", {"live": True}), ("plan.list", "saw", "failed", {"state": "failed"}),
        ("plan.show", "saw", "", {"plan": 100}), ("rack.list", "saw", "", {}), ("rack.list", "saw", "cut", {"state": "cut"}),
        ("reorder.list", "manager", "part", {"part": "LK-GLIDER"}), ("reorder.list", "manager", "", {}),
        ("purchase.list", "manager", "", {}), ("purchase.list", "manager", "open", {"open": True}),
        ("purchase.show", "manager", "", {"purchase": 100}), ("key.list", "manager", "", {}),
        ("catalogue.export", "manager", "", {}), ("parcel.list", "stores", "", {"order": open_order}),
        ("report.stock", "manager", "", {}), ("report.rack", "manager", "", {}), ("report.yield", "manager", "", {}),
        ("report.yield", "manager", "2 years", {"by": "saw", "weeks": 104}), ("report.metres", "manager", "", {}),
        ("report.shortages", "manager", "", {}), ("report.late", "manager", "", {}), ("report.dead", "manager", "", {}),
        ("report.use", "manager", "", {}), ("report.projection", "manager", "", {"part": "LK-GLIDER"}),
        ("rack.clear-out", "manager", "", {}), ("rack.list", "saw", "by length", {"by": "length", "longer": 900}),
    ]


def take(_):
    order = small.order("A1001")
    order["order"] = f"F{time.monotonic_ns()}"
    return order


def pick(round_):
    kit = round_.kit(round_.waiting)
    stop = round_.ask("stores", "kit.show", {"kits": [kit]})["walk"][0]
    return {"kit": kit, "part": stop["part"], "bin": stop["bin"]}


def put_back(round_):
    kit = round_.kit(round_.picking)
    lines = round_.ask("stores", "kit.show", {"kits": [kit]})["kits"][0]["lines"]
    return {"kit": kit, "part": next(line["part"] for line in lines if line["picked"] > 0)}


def held(round_):
    order = f"N{next(round_.waiting)}"
    round_.ask("desk", "order.hold", {"order": order, "reason": "bench"})
    return {"order": order}


def a_bin(round_):
    return {"bins": [{"code": f"Y{next(round_.fresh)}", "walk": 5000}]}


def changers():
    """(verb, role, what of it, how to make a body that it does) of every change that the fill has things for."""
    line = {"part": "LK-GLIDER", "bin": "A1", "quantity": 3}
    return [
        ("order.take", "desk", "2 windows", take),
        ("order.hold", "desk", "", lambda round_: {"order": f"N{next(round_.waiting)}", "reason": "bench"}),
        ("order.resume", "desk", "", held),
        ("order.cancel", "desk", "", lambda round_: {"order": f"N{next(round_.picking)}", "reason": "bench"}),
        ("kit.pick", "stores", "", pick), ("kit.put-back", "stores", "", put_back),
        ("stock.receive", "stores", "", lambda round_: {"lines": [line]}),
        ("stock.adjust", "stores", "", lambda round_: {"reason": "bench", "lines": [{"part": "LK-GLIDER", "bin": "A1", "by": 1}]}),
        ("stock.move", "stores", "", lambda round_: {"lines": [{"part": "LK-GLIDER", "from": "A1", "to": "B1", "quantity": 1}]}),
        ("bin.set", "stores", "", a_bin), ("bin.label", "stores", "", lambda round_: {"bins": ["A1"]}),
        ("label.reprint", "stores", "", lambda round_: {"code": books.scan_code("K", next(round_.labelled))}),
        ("rack.add", "saw", "", lambda round_: {"kind": "offcut", "system": "LARK", "finish": "WH", "length": 900}),
        ("rack.write-off", "saw", "", lambda round_: {
            "bar": round_.ask("saw", "rack.add", {"kind": "offcut", "system": "LARK", "finish": "WH", "length": 900})["bars"][0]["code"],
            "reason": "bench"}),
    ]


def cuts(round_):
    """The saw's changes, on a plan made and released here."""
    round_.ask("saw", "plan.make", {"saw": "BENCH", "system": "LARK", "finish": "WH", "time_limit": 1})
    plan = harness.until(120, "the plan is ready", lambda: round_.ask("saw", "plan.list", {"state": "ready"})["plans"])[0]["plan"]
    yield "plan.show", "604 pieces", [("saw", "plan.show", {"plan": plan})] * 5
    yield "plan.release", "604 pieces", [("saw", "plan.release", {"plan": plan})]
    yield "plan.sheet", "604 pieces", [("saw", "plan.sheet", {"plan": plan})] * 5
    bars = round_.ask("saw", "plan.show", {"plan": plan})["bars"][:REPEATS]
    yield "bar.cut", "", [("saw", "bar.cut", {"plan_bar": bar["plan_bar"]}) for bar in bars]


def measure(round_, role, verb, bodies):
    spent = []
    try:
        for body in bodies:
            began = time.perf_counter()
            round_.ask(role, verb, body)
            spent.append((time.perf_counter() - began) * 1000)
    except harness.Refused as refused:
        print(f"{verb:18} {refused}")
    return spent


def show(verb, what, spent):
    if not spent:
        return
    ordered = sorted(spent)
    mark = "  <-- over 50 ms" if statistics.median(spent) > 50 else ""
    print(f"{verb:18} {what:12} {len(spent):4} {statistics.median(spent):9.1f} {ordered[int(0.99 * (len(ordered) - 1))]:9.1f}{mark}",
          flush=True)


def times(round_, wanted):
    print(f"{'verb':18} {'of it':12} {'n':>4} {'median ms':>9} {'p99 ms':>9}")
    for verb, role, what, body in readers():
        if not wanted or verb in wanted:
            measure(round_, role, verb, [body])  # for the cache
            show(verb, what, measure(round_, role, verb, [body] * REPEATS))
    for verb, role, what, make in changers():
        if not wanted or verb in wanted:
            show(verb, what, measure(round_, role, verb, [make(round_) for _ in range(REPEATS)]))
    for verb, what, asked in cuts(round_) if not wanted else ():
        show(verb, what, [spent for role, verb_, body in asked for spent in measure(round_, role, verb_, [body])])


def scans(tree):
    """(table, rows read, how) of each scan below a node, with what its repetitions add up to."""
    rows = (tree.get("Actual Rows", 0) + tree.get("Rows Removed by Filter", 0)) * tree.get("Actual Loops", 1)
    if "Relation Name" in tree:
        yield tree["Relation Name"], rows, tree["Node Type"]
    for below in tree.get("Plans", ()):
        yield from scans(below)


def explain(workshop, round_, wanted):
    """Asks everything once more and reads the plans from PostgreSQL's log."""
    workshop.stop()
    for setting in ("session_preload_libraries = 'auto_explain'", "auto_explain.log_min_duration = 0",
                    "auto_explain.log_nested_statements = on", "auto_explain.log_analyze = on", "auto_explain.log_timing = off",
                    "auto_explain.log_format = 'json'"):
        workshop.sql(f"alter role ellwand_daemon set {setting}")
    workshop.start()
    asked = [(verb, role, what, lambda _, body=body: body) for verb, role, what, body in readers()] + changers()
    for verb, role, what, make in asked:
        if wanted and verb not in wanted:
            continue
        for _ in range(7):  # the server takes a plan for every value only after five for the values given
            body = make(round_)
            position = books.log_size()
            round_.ask(role, verb, body)
        found = collections.Counter()
        for plan in books.plans(books.log_since(position)):
            for table, rows, how in scans(plan["Plan"]):
                if table in GROWING and rows > MUCH:
                    found[f"{how} of {table}"] += rows
        if found:
            print(f"{verb} {what}: " + "; ".join(f"{how}, {rows:.0f} rows" for how, rows in found.items()), flush=True)


def main():
    wanted = set(sys.argv[1:])
    with harness.Workshop() as workshop:
        workshop.start()
        books.fill(workshop)
        round_ = Round(workshop)
        times(round_, wanted)
        print("\nscans that read more than", MUCH, "rows of a growing table:")
        explain(workshop, round_, wanted)
        workshop.stop()


if __name__ == "__main__":
    main()
