# SPDX-License-Identifier: Apache-2.0
"""The demonstration's whole job as requests under fixed ids: from an empty workshop to dispatched orders."""
import json

import harness

DEMO = harness.SOURCE / "sql" / "demo"


def document(name):
    return json.loads((DEMO / name).read_text())


class Job:
    """`ask(role, verb, body, request_id)` sends one request and gives its result; it may ask as often as it likes."""

    def __init__(self, ask):
        self._ask = ask
        self._count = 0
        self.changes = []  # (role, verb, body, id, answer) of every request that changes something, as acknowledged

    def change(self, role, verb, body):
        self._count += 1
        identity = f"job-{self._count}"
        answer = self._ask(role, verb, body, identity)
        self.changes.append((role, verb, body, identity, answer))
        return answer

    def look(self, role, verb, body=None):
        return self._ask(role, verb, body, None)

    def load(self):
        self.change("manager", "catalogue.import", {"catalogue": document("catalogue.json")})
        self.change("manager", "bin.set", document("bins.json"))
        self.change("stores", "stock.receive", document("stock.json"))
        self.take_stock("B10")
        for arrival in document("rack.json"):
            self.change("saw", "rack.add", arrival)
        for station in document("stations.json"):
            self.change("manager", "station.set", {**station, "queue": harness.QUEUE})

    def take_stock(self, bin_code):
        """A stock-take of what was put into the bin: it finds it all."""
        take = self.change("stores", "count.open", {"bins": [bin_code]})["stock_takes"][0]
        lines = [{name: line[name] for name in ("part", "batch") if name in line} | {"counted": line["quantity"]}
                 for line in document("stock.json")["lines"] if line["bin"] == bin_code]
        self.change("stores", "count.enter", {"stock_take": take, "lines": lines})
        self.change("manager", "count.approve", {"stock_takes": [take]})

    def take_orders(self, most=None):
        files = sorted((DEMO / "orders").glob("*.json"))[:most]
        for file in files:
            for line in self.change("desk", "order.take", json.loads(file.read_text()))["short"]:
                receipt = {"part": line["part"], "bin": "A01", "quantity": line["short"]}
                self.change("stores", "stock.receive", {"kind": "receipt", "lines": [receipt]})
        return len(files)

    def plan(self):
        """Plans everything that waits and gives the numbers of the plans, once they are ready."""
        asked = [plan["plan"] for plan in self.change("saw", "plan.make", {"saw": "BENCH", "time_limit": 0.5})["plans"]]

        def solved():
            plans = {plan["plan"]: plan for plan in self.look("saw", "plan.list")["plans"]}
            return all(plans[number]["state"] not in ("queued", "solving") for number in asked) and plans

        plans = harness.until(60, "plans solved", solved)
        assert all(plans[number]["state"] == "ready" for number in asked), plans
        return asked

    def release(self, plans):
        for number in plans:
            self.change("saw", "plan.release", {"plan": number})

    def cut(self, plans):
        for number in plans:
            for bar in self.look("saw", "plan.show", {"plan": number})["bars"]:
                self.change("saw", "bar.cut", {"plan_bar": bar["plan_bar"]})

    def fill_kits(self):
        for listed in self.look("stores", "kit.list")["kits"]:
            shown = self.look("stores", "kit.show", {"kits": [listed["kit"]]})
            for stop in shown["walk"]:
                pick = {name: stop[name] for name in ("kit", "part", "bin", "batch") if stop.get(name)}
                self.change("stores", "kit.pick", pick)
            for piece in shown["kits"][0]["pieces"]:
                self.change("stores", "kit.match", {"kit": listed["kit"], "piece": piece["code"]})
            self.change("stores", "kit.pack", {"kit": listed["kit"]})

    def dispatch(self):
        for order in self.look("stores", "order.list")["orders"]:
            self.change("stores", "order.dispatch", {"order": order["order"]})

    def run(self):
        self.load()
        self.take_orders()
        plans = self.plan()
        self.release(plans)
        self.cut(plans)
        self.fill_kits()
        self.dispatch()


def printed_documents(workshop):
    """What came out of the printer for each print job of the workshop: its number to a list of names of documents."""
    found = {}
    for file in sorted((harness.PRINTER / "out").glob(f"*-ellwand-{workshop.name}-*.prn")):
        number = int(file.stem.split(f"ellwand-{workshop.name}-")[1].split("-")[0])
        found.setdefault(number, []).append(file.name)
    return found


def assert_printed_once(workshop):
    """Each print job came out once. Those nobody can be sure of are held and say why: then it came out once or not at all."""
    printed = printed_documents(workshop)
    rows = [row.split("|", 3) for row in
            workshop.sql("select id, state, attempt, message from ellwand.print_job order by id")]
    assert rows, "no labels were asked for"
    for number, state, attempt, message in rows:
        names = printed.get(int(number), [])
        assert len(names) == 1 and state in ("printed", "held") or not names and state == "held" and message, \
            f"print job {number} is {state} after {attempt} attempts ({message}); came out: {names}"
    held = sum(state == "held" for _, state, _, _ in rows)
    print(f"{len(rows)} print jobs came out once; {held} of them wait for a person's word")


def assert_clean(workshop):
    """The invariants hold, as `audit` sees them."""
    report = workshop.client("manager").insist("audit", {})
    assert report["clean"], json.dumps(report["findings"], indent=1)
    assert all(item["checked"] > 0 for item in report["checked"]), f"the audit looked at nothing: {report['checked']}"
