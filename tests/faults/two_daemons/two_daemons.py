# SPDX-License-Identifier: Apache-2.0
"""Thirty-two clients reserve, release, cancel, pick and receive at random under two daemons on one database, while each
daemon and now and then a process of PostgreSQL is killed (SIGKILL).

A client asks on, at the one daemon or the other, under the request's one id until it is answered. Afterwards every
acknowledged change is in the books exactly once, and counts up to what they say; nothing is sold twice; the audit is
clean; and no deadlock or serialization failure was ever told to a client. ELLWAND_SEED repeats a run's choices.

    two_daemons.py SECONDS
"""
import collections
import json
import os
import pathlib
import random
import signal
import sys
import threading
import time
import uuid

sys.path[:0] = [str(pathlib.Path(__file__).resolve().parents[2] / "system"),
                str(pathlib.Path(__file__).resolve().parents[2] / "system" / "desk_stores")]
import small  # noqa: E402  (the path is set above)
from small import harness  # noqa: E402

CLIENTS = 32
# Where a slow machine has not done everything at least once by then, it goes on for so long at most.
LONGEST = 240
# What a person is told when somebody else was faster, or who asks for what is not there: part of the trade.
EXPECTED = {"kit-complete", "kit-cancelled", "kit-packed", "kit-waiting", "order-cancelled", "order-held", "already-picked",
            "wrong-bin", "not-enough", "not-picked", "wrong-quantity", "step-not-allowed"}
# The daemon or the database is away for a moment: the same request again, under its id. Not "retry": that somebody else was
# at the same rows is the daemon's business, never the client's.
COME_BACK = tuple(code for code in harness.COME_BACK if code != "retry")
PARTS = ["LK-GLIDER", "LK-LEAD", "LK-BASE-WH", "LK-MOUNT-WH", "LK-STOP-WH", "OV-SCREW", "SCREW-45-50", "PLUG-7"]
BINS = [place["code"] for place in small.BINS]
STEPS = ("take", "cancel", "change", "hold", "resume", "pick", "pick", "pick", "pick", "put_back", "receive", "receive", "move")


class Shared:
    """What all clients know: the orders that were taken, and their kits."""

    def __init__(self):
        self.lock = threading.Lock()
        self.orders, self.kits = [], []
        self.done = collections.Counter()
        self.refused = collections.Counter()
        self.asked_again = collections.Counter()

    def enough(self):
        with self.lock:
            return all(self.done[step] > 0 for step in STEPS)


class Person(threading.Thread):
    """One client with a key of its own, connected to both daemons."""

    def __init__(self, number, dice, key, daemons, server_key, shared):
        super().__init__(daemon=True)
        self.number, self.dice, self.key, self.shared = number, dice, key, shared
        self.clients = [harness.Client(daemon.endpoint, server_key, key) for daemon in daemons]
        self.acknowledged = []  # (verb, body, id, answer) of every change
        self.stopping = threading.Event()
        self.trouble = None

    def insist(self, verb, body, identity):
        """The answer to a request, whichever daemon gives it."""
        end = time.monotonic() + 150
        at = self.dice.randrange(2)
        while time.monotonic() < end:
            try:
                return self.clients[at].ask(verb, body, identity, seconds=4)
            except harness.NoAnswer:
                why = "no answer"
            except harness.Refused as refused:
                if refused.code not in COME_BACK:
                    raise
                why = refused.code
                time.sleep(0.05)
            at = 1 - at
            with self.shared.lock:
                self.shared.asked_again[why] += 1
        raise AssertionError(f"{verb} was not answered in time by either daemon")

    def look(self, verb, body):
        return self.insist(verb, body, uuid.uuid4().hex)

    def change(self, verb, body):
        identity = f"p{self.number}-{len(self.acknowledged)}-{uuid.UUID(int=self.dice.getrandbits(128)).hex[:8]}"
        answer = self.insist(verb, body, identity)
        self.acknowledged.append((verb, body, identity, answer))
        return answer

    def one_of(self, things):
        with self.shared.lock:
            return self.dice.choice(things[-60:]) if things else None

    def take(self):
        order = small.order("A1001")
        order.update(order=f"P{self.number}-{len(self.acknowledged)}", due=f"2026-12-{self.dice.randint(1, 28):02d}",
                     priority=self.dice.randint(0, 9))
        answer = self.change("order.take", order)
        with self.shared.lock:
            self.shared.orders.append(order["order"])
            self.shared.kits += [window["kit"] for window in answer["windows"]]

    def order_step(self, verb):
        number = self.one_of(self.shared.orders)
        if number:
            self.change(verb, {"order": number, "reason": "by chance"})

    def cancel(self):
        self.order_step("order.cancel")

    def change_order(self, number):
        """Another day alone, or a window measured again, which gives up what was done for it."""
        body = {"order": number, "priority": self.dice.randint(0, 9), "reason": "by chance"}
        if self.dice.random() < 0.7:
            window = dict(small.order("A1001")["windows"][0], width=self.dice.randint(1500, 2200))
            body["windows"] = [window]
        answer = self.change("order.change", body)
        if "replaced" in answer["what"]:
            windows = self.look("order.show", {"order": number})["windows"]
            with self.shared.lock:
                self.shared.kits += [window["kit"] for window in windows]

    def hold(self):
        self.order_step("order.hold")

    def resume(self):
        self.order_step("order.resume")

    def pick(self):
        kit = self.one_of(self.shared.kits)
        for stop in self.look("kit.show", {"kits": [kit]})["walk"][:2] if kit else ():
            quantity = self.dice.randint(1, int(stop["quantity"]))
            self.change("kit.pick", {"kit": kit, "part": stop["part"], "bin": stop["bin"], "quantity": quantity})

    def put_back(self):
        kit = self.one_of(self.shared.kits)
        lines = self.look("kit.show", {"kits": [kit]})["kits"][0]["lines"] if kit else ()
        for line in [line for line in lines if line["picked"] > 0][:1]:
            self.change("kit.put-back", {"kit": kit, "part": line["part"],
                                         "quantity": self.dice.randint(1, int(line["picked"]))})

    def receive(self):
        self.change("stock.receive", {"lines": [{"part": part, "bin": self.dice.choice(BINS),
                                                 "quantity": self.dice.randint(1, 30)}
                                                for part in self.dice.sample(PARTS, 2)]})

    def move(self):
        start, goal = self.dice.sample(BINS, 2)
        self.change("stock.move", {"lines": [{"part": self.dice.choice(PARTS), "from": start, "to": goal,
                                              "quantity": self.dice.randint(1, 10)}]})

    def do(self, step):
        if step != "change":
            getattr(self, step)()
        elif number := self.one_of(self.shared.orders):
            self.change_order(number)

    def run(self):
        try:
            while not self.stopping.is_set():
                step = self.dice.choice(STEPS)
                before = len(self.acknowledged)
                try:
                    self.do(step)
                except harness.Refused as refused:
                    if refused.code not in EXPECTED:
                        raise
                    with self.shared.lock:
                        self.shared.refused[refused.code] += 1
                if len(self.acknowledged) > before:
                    with self.shared.lock:
                        self.shared.done[step] += 1
        except Exception as error:  # noqa: BLE001  (told to the main thread)
            self.trouble = error


def kill_backend(workshop):
    """SIGKILL for one of the processes that serve the daemons: PostgreSQL ends all others and recovers from its log."""
    rows = workshop.sql("select pid from pg_stat_activity where application_name = 'ellwandd' and pid <> pg_backend_pid()"
                        " order by state = 'active' desc, random() limit 1")
    assert rows, "no daemon is connected"
    os.kill(int(rows[0]), signal.SIGKILL)

    def back():
        try:
            return workshop.sql("select 1")
        except AssertionError:
            return None
    harness.until(60, "PostgreSQL is back", back)


def make_trouble(workshop, daemons, seconds, dice, people):
    """Kills in turn a daemon, a process of PostgreSQL, the other daemon; the last kill leaves time to work on."""
    kills = collections.Counter()
    rounds = max(2, int(seconds / 8))
    began = time.monotonic()
    for turn in range(rounds):
        while time.monotonic() < began + seconds * (turn + 0.4 + dice.random() / 2) / (rounds + 1):
            time.sleep(0.05)
            assert not any(person.trouble for person in people), next(person.trouble for person in people if person.trouble)
        if turn % 3 == 1:
            kill_backend(workshop)
            kills["backend"] += 1
        else:
            daemon = daemons[turn % 2]
            assert daemon.lives(), f"a daemon ended by itself:\n{daemon.log_text()[-4000:]}"
            daemon.kill()
            kills["daemon"] += 1
            time.sleep(dice.choice((0, 0.3, 1)))
            daemon.launch()
    time.sleep(max(0, began + seconds - time.monotonic()))
    return kills


def expected_books(people):
    """What the acknowledged answers add up to: units of each part received, picked, put back."""
    books = collections.defaultdict(collections.Counter)
    for person in people:
        for verb, body, _, answer in person.acknowledged:
            if verb == "stock.receive":
                for line in body["lines"]:
                    books["receipt"][line["part"]] += line["quantity"]
            elif verb == "kit.pick":
                books["pick"][body["part"]] -= body["quantity"]
            elif verb == "kit.put-back":
                books["put-back"][body["part"]] += body["quantity"]
            elif verb in ("order.cancel", "order.change"):
                for line in answer.get("put_back", []):
                    books["put-back"][line["part"]] += line["quantity"]
    return {kind: {part: units for part, units in parts.items() if units} for kind, parts in books.items()}


def check_books(workshop, people):
    """Each kind of entry of the ledger has the sum that the acknowledged answers have: nothing lost, nothing doubled."""
    rows = workshop.sql("set search_path = ellwand; select kind, part.code, sum(delta) from ledger"
                        " join stock on stock.id = ledger.stock join part on part.id = stock.part"
                        " where kind <> 'move' group by 1, 2 having sum(delta) <> 0")
    found = collections.defaultdict(dict)
    for kind, part, units in (row.split("|") for row in rows):
        found[kind][part] = int(units)
    assert dict(found) == expected_books(people), f"the ledger says\n{dict(found)}\nthe answers\n{expected_books(people)}"
    moved = workshop.sql("select coalesce(sum(delta), 0), count(distinct (key_name, request_id)) from ellwand.ledger"
                         " where kind = 'move'")
    moves = sum(verb == "stock.move" for person in people for verb, *_ in person.acknowledged)
    assert moved == [f"0|{moves}"], f"moves add up to {moved}, {moves} were acknowledged"


def check_requests(workshop, people):
    """The log of requests holds the acknowledged ones and no other."""
    rows = workshop.sql("select key_name, request_id, verb from ellwand.request_log where key_name like 'person-%'")
    told = [f"{person.key.name}|{identity}|{verb}" for person in people for verb, _, identity, _ in person.acknowledged]
    assert sorted(rows) == sorted(told), f"{set(rows) ^ set(told)} are known to one side alone"
    orders = [body["order"] for person in people for verb, body, *_ in person.acknowledged if verb == "order.take"]
    assert sorted(orders) == sorted(workshop.sql("select number from ellwand.job_order where earlier_of is null"))
    earlier = [answer["what"]["earlier"] for person in people for verb, _, _, answer in person.acknowledged
               if verb == "order.change" and "earlier" in answer["what"]]
    assert sorted(earlier) == sorted(workshop.sql("select number from ellwand.job_order where earlier_of is not null"))


def check_sums(workshop):
    """Apart from the audit: nothing is promised twice, and each part is where the sums say."""
    wrong = workshop.sql(
        "set search_path = ellwand; select part.code, on_hand, reserved, given, booked, picked, taken from part"
        " cross join lateral (select coalesce(sum(on_hand), 0) as on_hand, coalesce(sum(reserved), 0) as reserved,"
        "   coalesce(bool_or(reserved > on_hand or reserved < 0), false) as oversold from stock where part = part.id) held"
        " cross join lateral (select coalesce(sum(quantity), 0) as given from reservation join stock on stock.id = stock"
        "   where stock.part = part.id) promised"
        " cross join lateral (select coalesce(sum(delta), 0) as booked, coalesce(-sum(delta) filter"
        "   (where kit_line is not null), 0) as taken from ledger join stock on stock.id = stock where stock.part = part.id) entries"
        " cross join lateral (select coalesce(sum(picked), 0) as picked from kit_line where kit_line.part = part.id) kits"
        " where oversold or reserved <> given or on_hand <> booked or picked <> taken")
    assert not wrong, wrong


def check_again(people, dice):
    """A few acknowledged requests, asked once more at either daemon, have the answer that they had."""
    for person in people:
        for verb, body, identity, answer in dice.sample(person.acknowledged, min(4, len(person.acknowledged))):
            assert person.insist(verb, body, identity) == answer, f"{verb} was answered otherwise the second time"


def invite(workshop, daemons, seed, shared):
    """Thirty-two people, each with a key that may take orders and work in the stores."""
    keys = [harness.Key(f"person-{number}") for number in range(CLIENTS)]
    manager = workshop.client("manager")
    for key in keys:
        manager.ask("key.add", {"name": key.name, "public_key": key.public.decode(), "roles": ["desk", "stores"]})
    return [Person(number, random.Random(seed * CLIENTS + number), key, daemons, workshop.daemon_key.public, shared)
            for number, key in enumerate(keys)]


def work(workshop, daemons, people, seconds, dice, shared):
    for person in people:
        person.start()
    kills = make_trouble(workshop, daemons, seconds, dice, people)
    harness.until(LONGEST, "everything was done at least once",
                  lambda: shared.enough() or any(person.trouble for person in people))
    for person in people:
        person.stopping.set()
    for person in people:
        person.join(200)
        assert not person.is_alive(), "a client hangs"
    for person in people:
        if person.trouble:
            raise person.trouble
    return kills


def main():
    seconds = float(sys.argv[1])
    seed = int(os.environ.get("ELLWAND_SEED", random.SystemRandom().randrange(1 << 32)))
    print(f"seed {seed} (repeat with ELLWAND_SEED={seed})", flush=True)
    dice, shared = random.Random(seed), Shared()
    with harness.Workshop() as workshop:
        workshop.start()
        daemons = [workshop, workshop.another()]
        daemons[1].launch()
        small.fill(workshop, stations=())
        people = invite(workshop, daemons, seed, shared)
        kills = work(workshop, daemons, people, seconds, dice, shared)
        print("done:", dict(shared.done), "refused:", dict(shared.refused), "asked again:", dict(shared.asked_again))
        check_requests(workshop, people)
        check_books(workshop, people)
        check_sums(workshop)
        check_again(people, dice)
        report = workshop.client("manager").insist("audit", {}, seconds=120, patience=60)
        assert report["clean"], json.dumps(report["findings"], indent=1)
        for person in people:
            for client in person.clients:
                client.close()
        for daemon in daemons:
            daemon.stop()
        changes = sum(len(person.acknowledged) for person in people)
        print(f"{changes} acknowledged changes, each in the books once; killed: {dict(kills)}")


main()
