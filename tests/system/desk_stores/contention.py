# SPDX-License-Identifier: Apache-2.0
"""Sixteen clients take orders, cancel them, pick, put back, receive, move and count at random, all of the same few parts. No
answer may be an accident, nothing may be sold twice, and the books must agree when it is over."""
import collections
import json
import random
import threading
import time

import small
from small import harness

CLIENTS = 16
SECONDS = 15
# What a person is told when somebody else was faster, or asked for what is not there: part of the trade, not an accident.
EXPECTED = {"kit-complete", "kit-cancelled", "kit-packed", "order-cancelled", "order-held", "already-picked", "wrong-bin",
            "not-enough", "not-picked", "wrong-quantity", "out-of-range", "step-not-allowed", "kit-waiting", "retry"}
# One stands in for the other inside a recess.
PAIR = ("LK-MOUNT-WH", "LK-MOUNT-SI")
PARTS = ["LK-GLIDER", "LK-LEAD", "LK-BASE-WH", *PAIR, "LK-STOP-WH", "OV-SCREW", "OV-WASHER", "SCREW-45-50", "PLUG-7"]
BINS = [place["code"] for place in small.BINS]


class Worker(threading.Thread):
    def __init__(self, workshop, number, end):
        super().__init__()
        self.dice = random.Random(number)
        self.number, self.end = number, end
        self.desk, self.stores = workshop.client("desk"), workshop.client("stores")
        self.orders, self.done, self.refusals = [], collections.Counter(), collections.Counter()
        self.error = None

    def take(self):
        order = small.order("A1001")
        order.update(order=f"R{self.number}-{len(self.orders)}", due=f"2026-12-{self.dice.randint(1, 28):02d}")
        self.orders.append(order["order"])
        self.desk.ask("order.take", order)

    def cancel(self):
        if self.orders:
            self.desk.ask("order.cancel", {"order": self.dice.choice(self.orders), "reason": "test"})

    def hold(self):
        if self.orders:
            number = self.dice.choice(self.orders)
            self.desk.ask("order.hold", {"order": number, "reason": "test"})
            self.desk.ask("order.resume", {"order": number})

    def any_kit(self):
        kits = self.stores.ask("kit.list", {"limit": 50})["kits"]
        return self.dice.choice(kits)["kit"] if kits else None

    def pick(self):
        kit = self.any_kit()
        if kit:
            for stop in self.stores.ask("kit.show", {"kits": [kit]})["walk"][:3]:
                try:
                    self.stores.ask("kit.pick", {"kit": kit, "part": stop["part"], "bin": stop["bin"]})
                except harness.Refused as refused:
                    # a kit that nobody has begun may have got its own part for the substitute meanwhile
                    if refused.code != "wrong-part" or "replaces" not in stop:
                        raise
                    self.refusals["substitute given back"] += 1

    def put_back(self):
        kit = self.any_kit()
        if kit:
            self.stores.ask("kit.put-back", {"kit": kit, "part": self.dice.choice(PARTS)})

    def receive(self):
        small.receive(self.stores, self.dice.choice(PARTS), self.dice.choice(BINS), self.dice.randint(1, 40))

    def move(self):
        start, goal = self.dice.sample(BINS, 2)
        self.stores.ask("stock.move", {"lines": [{"part": self.dice.choice(PARTS), "from": start, "to": goal,
                                                  "quantity": self.dice.randint(1, 10)}]})

    def count(self):
        self.stores.ask("stock.adjust", {"reason": "counted", "lines": [
            {"part": part, "bin": self.dice.choice(BINS), "counted": self.dice.randint(0, 60)}
            for part in self.dice.sample(PARTS, 2)]})

    def run(self):
        steps = [self.take, self.cancel, self.hold, self.pick, self.pick, self.pick, self.put_back, self.receive, self.receive,
                 self.move, self.count]
        try:
            while time.monotonic() < self.end:
                step = self.dice.choice(steps)
                try:
                    step()
                    self.done[step.__name__] += 1
                except harness.Refused as refused:
                    if refused.code not in EXPECTED:
                        raise
                    self.refusals[refused.code] += 1
        except Exception as error:  # told by the main thread, which else would not see it
            self.error = error


def check_sums(workshop):
    """Counted apart from the audit: what came in is on hand or in kits, and no bin has promised more than it holds."""
    rows = workshop.sql(
        "set search_path = ellwand; select json_build_object('part', code, 'in', (select coalesce(sum(delta), 0) from ledger join stock"
        " on stock.id = stock where stock.part = part.id and kind not in ('pick', 'put-back')),"
        " 'on_hand', (select coalesce(sum(on_hand), 0) from stock where stock.part = part.id),"
        " 'reserved', (select coalesce(sum(quantity), 0) from reservation join stock on stock.id = stock where stock.part = part.id),"
        " 'picked', (select coalesce(sum(picked), 0) from kit_line where kit_line.part = part.id)) from part")
    rows = {row["part"]: row for row in map(json.loads, rows)}
    both = [rows.pop(code) for code in PAIR]
    rows["either"] = {name: sum(row[name] for row in both) for name in ("in", "on_hand", "reserved", "picked")}
    for row in rows.values():
        assert row["in"] == row["on_hand"] + row["picked"], row
        assert 0 <= row["reserved"] <= row["on_hand"], row


def check_nobody_waits_for_free_stock(workshop):
    """While one open order is short of a part, none of it lies about unreserved, unless what was picked already is of another
    part or batch and all must look alike."""
    waiting = workshop.sql("""
        select kit_line.id, part.code, wanted, picked, stock.id, on_hand, stock.reserved
        from ellwand.kit_line
        join ellwand.kit on kit.id = kit_line.kit and kit.state in ('waiting', 'picking')
        join ellwand.job_window on job_window.id = kit.job_window
        join ellwand.job_order on job_order.id = job_window.job_order and job_order.state = 'taken'
        join ellwand.part on part.id = kit_line.part
        join ellwand.stock on on_hand > stock.reserved and (stock.part = part.id or exists (
            select from ellwand.kit_line_substitute other where other.kit_line = kit_line.id and other.part = stock.part and picked > 0))
        where wanted > picked + (select coalesce(sum(quantity), 0) from ellwand.reservation where reservation.kit_line = kit_line.id)
          and not (ellwand.one_batch(part.id) and exists (
              select from ellwand.ledger join ellwand.stock used on used.id = ledger.stock
              where ledger.kit_line = kit_line.id and (used.part, used.batch) is distinct from (stock.part, stock.batch)
              group by used.part, used.batch having sum(delta) < 0))""")
    assert not waiting, waiting


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        end = time.monotonic() + SECONDS
        workers = [Worker(workshop, number, end) for number in range(CLIENTS)]
        for worker in workers:
            worker.start()
        for worker in workers:
            worker.join(SECONDS + 60)
        for worker in workers:
            if worker.error is not None:
                raise worker.error
        done = sum((worker.done for worker in workers), collections.Counter())
        refusals = sum((worker.refusals for worker in workers), collections.Counter())
        print("done:", dict(done), "refused:", dict(refusals))
        assert all(done[name] > 0 for name in ("take", "cancel", "pick", "put_back", "receive", "move", "count")), done
        small.assert_clean(workshop.client("desk"))
        check_sums(workshop)
        check_nobody_waits_for_free_stock(workshop)
        workshop.stop()


main()
