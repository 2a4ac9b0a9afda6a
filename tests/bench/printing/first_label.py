# SPDX-License-Identifier: Apache-2.0
"""How soon labels come out, on a private print scheduler and a printer program.

    ELLWAND_BUILD_DIR=build/release deploy/with-services /usr/bin/python3 tests/bench/printing/first_label.py [TIMES]

First: seconds from the answer to the release of a plan to the first label that the printer received (its job's attributes
are on the disk), TIMES times. Then: 1000 labels of bins in jobs of 200, and what memory the daemon took for them. JSON lines;
nothing here is a test.
"""
import json
import pathlib
import statistics
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1] / "system"), str(HERE.parents[1] / "system" / "desk_stores")]
import small  # noqa: E402  (the path is set above)
from small import harness  # noqa: E402

LABELS = 1000
OUT = harness.PRINTER / "out"


def received(workshop):
    return {path.name for path in OUT.glob(f"*ellwand-{workshop.name}-*.env")}


def ready_plan(workshop, number):
    """An order with a plan that only wants its release."""
    order = small.order("A1001")
    order.update(order=number)
    workshop.client("desk").ask("order.take", order)
    saw = workshop.client("saw")
    window = order["windows"][0]
    saw.ask("rack.add", {"kind": "bar", "system": window["system"], "finish": window["finish"], "length": 6000, "count": 4})
    plan = saw.ask("plan.make", {"saw": "BENCH", "system": window["system"], "finish": window["finish"], "time_limit": 1})["plans"][0]["plan"]
    harness.until(30, "the plan", lambda: saw.ask("plan.show", {"plan": plan})["state"] == "ready")
    return plan


def until_first(workshop, saw, plan):
    before = received(workshop)
    saw.ask("plan.release", {"plan": plan})
    began = time.monotonic()
    while received(workshop) == before:
        time.sleep(0.002)
    return time.monotonic() - began


def memory(workshop, field):
    status = pathlib.Path(f"/proc/{workshop.process.pid}/status").read_text()
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith(f"{field}:"))) / 1024


def main():
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        manager, saw = workshop.client("manager"), workshop.client("saw")

        def done():
            return not saw.ask("print.list")["jobs"]
        manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": ["piece", "kit", "bin"]})
        taken = []
        for number in range(times):
            plan = ready_plan(workshop, f"F{number}")
            taken.append(until_first(workshop, saw, plan))
            harness.until(60, "labels", done)
        print(json.dumps({"what": "release to first label at the printer", "times": times, "median_s": round(statistics.median(taken), 3),
                          "worst_s": round(max(taken), 3)}), flush=True)
        idle = memory(workshop, "VmRSS")
        bins = [f"F{number}" for number in range(LABELS)]
        manager.ask("bin.set", {"bins": [{"code": code, "walk": 1} for code in bins]})
        began = time.monotonic()
        workshop.client("stores").ask("bin.label", {"bins": bins})
        harness.until(120, "labels", done)
        print(json.dumps({"what": f"{LABELS} labels in jobs of 200", "seconds": round(time.monotonic() - began, 2),
                          "idle_mib": round(idle, 1), "peak_mib": round(memory(workshop, "VmHWM"), 1)}))
        workshop.stop()


main()
