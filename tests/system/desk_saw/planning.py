# SPDX-License-Identifier: Apache-2.0
"""Planning beside everything else: orders keep coming, daemons die and share the work, events tell what happens."""
import json
import threading
import time

import yard
import zmq


class Listener:
    """Hears the daemon's events under a topic."""

    def __init__(self, workshop, topic):
        self.socket = zmq.Context.instance().socket(zmq.SUB)
        self.socket.linger = 0
        key = workshop.keys["saw"]
        self.socket.curve_publickey, self.socket.curve_secretkey = key.public, key.secret
        self.socket.curve_serverkey = workshop.daemon_key.public
        self.socket.subscribe(topic)
        self.socket.connect(workshop.events)

    def hear(self, seconds):
        """Topics and bodies of all events within so many seconds of silence."""
        heard = []
        while self.socket.poll(int(seconds * 1000)):
            topic, _, event = self.socket.recv_multipart()
            heard.append((topic.decode(), json.loads(event)["body"]))
        return heard

    def close(self):
        self.socket.close()


def check_events(workshop):
    saw, desk = workshop.client("saw"), workshop.client("desk")
    listener = Listener(workshop, b"plan.")
    yard.harness.until(10, "the subscription", lambda: desk.ask("ping") and (time.sleep(0.5) or True))
    desk.ask("order.take", yard.order("E1"))
    plan = yard.make_plan(saw)
    saw.ask("plan.release", {"plan": plan["plan"]})
    saw.ask("plan.drop", {"plan": plan["plan"], "reason": "only for its events"})
    heard = [(topic, body["plan"]) for topic, body in listener.hear(1) if topic != "plan.progress"]
    assert heard == [(topic, plan["plan"]) for topic in ("plan.ready", "plan.released", "plan.dropped")], heard
    listener.close()
    desk.ask("order.cancel", {"order": "E1", "reason": "only for its events"})


def check_empty_rack(workshop):
    """Nothing fits: the plan says what to get, and leaves everything as it was."""
    saw, desk = workshop.client("saw"), workshop.client("desk")
    order = yard.order("BRONZE", "A1003")
    desk.ask("order.take", order)
    plans = {(plan["system"], plan["finish"]): plan for plan in yard.make_plans(saw)}
    failed = plans["LARK", "BZ"]
    assert failed["state"] == "failed" and "bar" in failed["failure"] and failed["bars"] == [], failed
    assert plans["LARK", "WH"]["state"] == "ready"
    desk.ask("order.cancel", {"order": "BRONZE", "reason": "no bronze"})
    assert saw.ask("plan.show", {"plan": plans["LARK", "WH"]["plan"]})["state"] == "dropped"
    yard.assert_clean(workshop)


def check_beside_orders(workshop):
    """Four desks take, hold and cancel orders while plans are made and released one after the other."""
    failures, slowest = [], []

    def take(part):
        client = workshop.client("desk")
        try:
            for number in range(12):
                name = f"T{part}-{number}"
                began = time.monotonic()
                client.insist("order.take", yard.order(name))
                slowest.append(time.monotonic() - began)
                if number % 3 == 1:
                    client.insist("order.hold", {"order": name, "reason": "for the test"})
                if number % 3 == 2:
                    client.insist("order.cancel", {"order": name, "reason": "for the test"})
        except Exception as error:  # pylint: disable=broad-except
            failures.append(error)

    desks = [threading.Thread(target=take, args=(part,)) for part in range(4)]
    for desk in desks:
        desk.start()
    saw = workshop.client("saw")
    released = 0
    while any(desk.is_alive() for desk in desks) or released == 0:
        for plan in yard.make_plans(saw):
            if plan["state"] == "ready":
                try:
                    saw.ask("plan.release", {"plan": plan["plan"]})
                    released += 1
                except yard.harness.Refused as refused:
                    # An order of it was held or cancelled in between: the plan was dropped.
                    assert refused.code == "step-not-allowed", refused
    for desk in desks:
        desk.join()
    assert not failures, failures
    slowest.sort()
    print(f"orders taken while planning: {len(slowest)}, median {slowest[len(slowest) // 2] * 1000:.0f} ms,"
          f" slowest {slowest[-1] * 1000:.0f} ms; plans released: {released}")
    yard.assert_clean(workshop)


def check_death(workshop):
    """A daemon that dies while plans are queued or solved: whoever comes next makes them, each once."""
    saw, desk = workshop.client("saw"), workshop.client("desk")
    for number in range(4):
        desk.ask("order.take", yard.order(f"D{number}", "A1002"))
    made = [entry["plan"] for entry in saw.ask("plan.make", {"saw": yard.SAW, "time_limit": 2})["plans"]]
    assert made
    workshop.kill()
    # What the dead daemon had begun is under its lease, which is made to run out here rather than waited for.
    workshop.sql("update ellwand.plan set leased_until = now() where state = 'solving'")
    workshop.start()
    yard.harness.until(30, "plans after the death", lambda: all(
        plan["state"] not in ("queued", "solving") for plan in saw.insist("plan.list", {"limit": 500})["plans"]))
    yard.assert_clean(workshop)


def check_cancel(workshop):
    """A plan that another daemon solves is told to stop; when that one is dead, whoever takes over drops it."""
    saw, desk = workshop.client("saw"), workshop.client("desk")
    desk.insist("order.take", yard.order("C1"))
    workshop.stop()
    workshop.sql("select set_config('ellwand.key', 'planner', false), set_config('ellwand.reason', 'test', false);"
                 " insert into ellwand.plan (workshop, system, finish, saw, state, time_limit_ms)"
                 f" values (1, '{yard.SYSTEM}', '{yard.FINISH}', '{yard.SAW}', 'queued', 1000);"
                 " update ellwand.plan set state = 'solving', leased_by = 'elsewhere', leased_until = now() + interval '1 hour'"
                 " where state = 'queued'")
    workshop.start()
    number = saw.insist("plan.list", {"state": "solving"})["plans"][0]["plan"]
    assert saw.ask("plan.make", {"saw": yard.SAW})["plans"][0] == {
        "plan": number, "new": False, "system": yard.SYSTEM, "finish": yard.FINISH,
        "pieces": int(workshop.sql("select count(*) from ellwand.piece join ellwand.job_window on job_window.id = job_window"
                                   " join ellwand.job_order on job_order.id = job_order"
                                   " where piece.state = 'waiting' and job_order.state = 'taken' and piece.system = 'LARK'"
                                   " and piece.finish = 'WH'")[0])}
    assert saw.ask("plan.cancel", {"plan": number})["state"] == "solving"
    workshop.sql("update ellwand.plan set leased_until = now() where state = 'solving'")
    yard.harness.until(10, "the plan is dropped", lambda: saw.ask("plan.show", {"plan": number})["state"] == "dropped")
    yard.assert_clean(workshop)


def main():
    with yard.harness.Workshop() as workshop:
        workshop.start()
        yard.fill(workshop, bars=60)
        check_events(workshop)
        check_empty_rack(workshop)
        check_beside_orders(workshop)
        check_death(workshop)
        check_cancel(workshop)
        workshop.stop()


main()
