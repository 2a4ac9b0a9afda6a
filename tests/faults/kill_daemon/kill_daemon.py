# SPDX-License-Identifier: Apache-2.0
"""The daemon is killed (SIGKILL) at many random moments while the whole demonstration job runs, and started again.

Afterwards: every acknowledged request is answered with the same answer again and did its work once, every label was
printed once, all orders are dispatched, and the audit is clean. ELLWAND_SEED repeats a run.
"""
import os
import pathlib
import random
import sys
import threading
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "system"))
import demo_job  # noqa: E402  (the path is set above)
import harness  # noqa: E402

LEAST_KILLS = 25


class Killer(threading.Thread):
    """Kills and starts the daemon until told to stop; the pauses are mostly short and sometimes long."""

    def __init__(self, workshop, chance):
        super().__init__(daemon=True)
        self.workshop, self.chance = workshop, chance
        self.kills = 0
        self.stopping = threading.Event()
        self.trouble = None

    def run(self):
        try:
            while not self.stopping.wait(min(2, self.chance.expovariate(1 / 0.6))):
                assert self.workshop.lives(), "the daemon ended by itself"
                self.workshop.kill()
                self.kills += 1
                time.sleep(self.chance.choice((0, 0, 0.05, 0.3)))
                self.workshop.launch()
        except Exception as error:  # noqa: BLE001  (told to the main thread)
            self.trouble = error


def check_done_once(workshop, job, orders):
    """What the database holds is what an undisturbed job leaves."""
    assert workshop.sql("select count(*), count(*) filter (where state = 'dispatched') from ellwand.job_order") == [
        f"{orders}|{orders}"]
    arrivals = sum(body.get("count", 1) for _, verb, body, _, _ in job.changes if verb == "rack.add")
    assert workshop.sql("select count(*) from ellwand.bar where origin_plan_bar is null and origin_piece is null") == [
        str(arrivals)], "bars were lost or doubled"
    receipts = sum(len(body["lines"]) for _, verb, body, _, _ in job.changes if verb == "stock.receive")
    assert workshop.sql("select count(*) from ellwand.ledger where kind in ('opening', 'receipt')") == [str(receipts)]
    assert workshop.sql("select count(*) from ellwand.request_log") == [str(len(job.changes))], "requests were lost or doubled"


def main():
    seed = int(os.environ.get("ELLWAND_SEED", random.SystemRandom().randrange(1 << 32)))
    print(f"seed {seed} (repeat with ELLWAND_SEED={seed})", flush=True)
    with harness.Workshop() as workshop:
        workshop.start()
        clients = {role: workshop.client(role) for role in workshop.keys}

        def ask(role, verb, body, identity):
            return clients[role].insist(verb, body, identity, seconds=120, patience=0.5)

        killer = Killer(workshop, random.Random(seed))
        killer.start()
        job = demo_job.Job(ask)
        job.run()
        orders = len(list((demo_job.DEMO / "orders").glob("*.json")))
        # A fast machine may be done before the daemon died often enough: then it dies while answers are asked for again.
        for role, verb, body, identity, answer in job.changes:
            assert ask(role, verb, body, identity) == answer, f"{identity} ({verb}) was answered otherwise the second time"
        harness.until(120, "enough kills", lambda: killer.kills >= LEAST_KILLS or killer.trouble)
        killer.stopping.set()
        killer.join()
        if killer.trouble:
            raise killer.trouble
        ask("stores", "order.list", {}, None)
        harness.until(240, "labels printed", lambda: not [
            row for row in ask("stores", "print.list", {}, None)["jobs"] if row["state"] != "held"])
        check_done_once(workshop, job, orders)
        demo_job.assert_printed_once(workshop)
        demo_job.assert_clean(workshop)
        workshop.stop()
        print(f"{killer.kills} kills, {len(job.changes)} acknowledged changes, none lost, none doubled")


main()
