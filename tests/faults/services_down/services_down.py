# SPDX-License-Identifier: Apache-2.0
"""PostgreSQL, the print scheduler and the printer go away, hang and come back.

The daemon lives; what it cannot do it says within its time limit; it comes back by itself; what was asked for again
under its id is done once; labels that were queued meanwhile come out once.
"""
import os
import pathlib
import signal
import sys
import threading
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "system"))
import demo_job  # noqa: E402  (the path is set above)
import harness  # noqa: E402
from harness import service, until  # noqa: E402

# Seconds: request_timeout_ms of this test's daemon, two that the store gives a cancelled statement to end, one for the way.
LIMIT = 3 + 2 + 1
BEHAVE = harness.PRINTER / "ctl" / "behave"


def assert_says_so(client):
    """A request that needs the database is refused in time, with a code that tells to come back."""
    began = time.monotonic()
    try:
        client.ask("order.list", {}, seconds=LIMIT + 2)
    except harness.Refused as refused:
        assert refused.code in harness.COME_BACK, refused
        assert refused.message
    else:
        raise AssertionError("orders were listed without a database")
    assert time.monotonic() - began < LIMIT, "the daemon did not keep its time limit"
    assert client.ask("ping", seconds=2)["daemon"] == "ellwandd"


def postgres_processes():
    """The ids of the server's processes: they work in the cluster's folder."""
    folder = harness.SERVICES.parent / "postgres"
    found = []
    for process in pathlib.Path("/proc").glob("[0-9]*"):
        try:
            if (process / "cwd").readlink() == folder:
                found.append(int(process.name))
        except OSError:
            continue  # it ended meanwhile
    return found


def signal_postgres(number):
    for process in postgres_processes():
        os.kill(process, number)


def check_database(workshop, client, ask):
    for what, down in (("stopped", "postgres_stop"), ("killed", "postgres_kill")):
        print(f"PostgreSQL is {what} and started again", flush=True)
        service(down)
        assert_says_so(client)
        # So is somebody who comes only now: the key is remembered, though it may do nothing.
        assert_says_so(workshop.client("desk"))
        service("postgres_start")
        assert "orders" in ask("desk", "order.list", {}, None)
        assert workshop.lives(), f"the daemon died when PostgreSQL was {what}"
    print("PostgreSQL hangs", flush=True)
    signal_postgres(signal.SIGSTOP)
    try:
        assert_says_so(client)
    finally:
        signal_postgres(signal.SIGCONT)
    assert "orders" in ask("desk", "order.list", {}, None)


def check_changes(workshop, ask):
    """PostgreSQL is killed again and again while orders are taken: each is taken once."""
    print("PostgreSQL is killed while orders are taken", flush=True)
    stopping = threading.Event()
    kills = []

    def kill_again_and_again():
        while not stopping.wait(0.3):
            service("postgres_kill")
            service("postgres_start")
            kills.append(time.monotonic())

    killer = threading.Thread(target=kill_again_and_again, daemon=True)
    killer.start()
    try:
        job = demo_job.Job(ask)
        orders = job.take_orders()
        while len(kills) < 3:
            for role, verb, body, identity, answer in job.changes:
                assert ask(role, verb, body, identity) == answer, f"{identity} was answered otherwise the second time"
    finally:
        stopping.set()
        killer.join()
    assert workshop.sql("select count(*) from ellwand.job_order") == [str(orders)]


class Printing:
    """Plans released one after the other, each while something is wrong with printing."""

    def __init__(self, workshop, ask):
        self.workshop, self.ask = workshop, ask
        self.job = demo_job.Job(lambda role, verb, body, identity: ask(role, verb, body, identity and f"print-{identity}"))
        self.plans = self.job.plan()
        assert len(self.plans) >= 4, "the demonstration makes several plans"

    def release(self):
        self.job.release([self.plans.pop()])

    def open_jobs(self):
        """Print jobs that are neither printed nor waiting for a person's word."""
        return [job for job in self.ask("stores", "print.list", {}, None)["jobs"] if job["state"] != "held"]

    def settled(self, after):
        until(100, f"labels settled after {after}", lambda: not self.open_jobs())

    def scheduler_stops(self):
        print("the print scheduler is stopped and started again", flush=True)
        service("cups_stop")
        self.release()
        until(30, "a reason why labels wait", lambda: any(job["message"] for job in self.open_jobs()))
        service("cups_start")
        self.settled("the scheduler came back")

    def scheduler_dies(self):
        """Killed with jobs in its queue. (What is on paper halfway when it is killed, the scheduler prints once more: its
        own doing, which tests/faults/printing looks at.)"""
        print("the print scheduler is killed with jobs in its queue", flush=True)
        harness.run("cupsdisable", harness.QUEUE)
        self.release()
        until(30, "labels handed to the scheduler", lambda: "printing" in {job["state"] for job in self.open_jobs()})
        service("cups_kill")
        time.sleep(1)
        service("cups_start")
        assert self.open_jobs(), "labels came out of a paused queue"
        harness.run("cupsenable", harness.QUEUE)
        self.settled("the scheduler came back")

    def printer_off(self):
        print("the printer is off and on again", flush=True)
        service("printer_stop")
        self.release()
        time.sleep(2)
        assert self.open_jobs(), "labels came out of a printer that is off"
        service("printer_start")
        self.settled("the printer came back")

    def labels_run_out(self):
        print("the printer runs out of labels and is filled again", flush=True)
        BEHAVE.write_text("STATE=media-empty-error\n")
        self.release()
        until(30, "the printer's state told", lambda: any(job["message"] for job in self.open_jobs()))
        BEHAVE.unlink()
        self.settled("the printer was filled")


def main():
    with harness.Workshop() as workshop:
        configuration = workshop.configuration
        configuration.write_text(configuration.read_text() + "request_timeout_ms = 3000;\nconnect_timeout_ms = 1000;\n"
                                 "statement_timeout_ms = 2000;\n")
        workshop.start()
        clients = {role: workshop.client(role) for role in workshop.keys}

        def ask(role, verb, body, identity):
            return clients[role].insist(verb, body, identity, seconds=60, patience=LIMIT)

        demo_job.Job(lambda role, verb, body, identity: ask(role, verb, body, identity and f"load-{identity}")).load()
        assert ask("desk", "order.list", {}, None)["orders"] == []
        check_database(workshop, clients["desk"], ask)
        check_changes(workshop, ask)
        printing = Printing(workshop, ask)
        for trouble in (printing.scheduler_stops, printing.scheduler_dies, printing.printer_off, printing.labels_run_out):
            trouble()
            assert workshop.lives(), "the daemon died"
        demo_job.assert_printed_once(workshop)
        demo_job.assert_clean(workshop)
        workshop.stop()


main()
