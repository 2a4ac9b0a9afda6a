# SPDX-License-Identifier: Apache-2.0
"""A whole order through the scanner session: bars cut, kits picked, matched and packed, parcels sent, with the daemon killed in
between. The books then hold each thing once."""
import json
import pathlib
import subprocess
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "desk_stores"))
import small  # noqa: E402  (the path is set above)
from shell import Shell  # noqa: E402

harness = small.harness
ORDER = "A1002"
BINS = ("A1", "A2", "B1")


class Bench:
    """`ellwand bench --json` in a pipe: one line in, one answer out."""

    def __init__(self, workshop, role):
        self.notices = workshop.folder / f"bench-{role}.log"
        with open(self.notices, "ab") as notices:
            self.process = subprocess.Popen(
                [harness.BUILD / "ellwand", "bench", "--json", *Shell(workshop, role).access], text=True,
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=notices)

    def send(self, line):
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def answer(self, line, outcome):
        answer = json.loads(self.process.stdout.readline())
        assert answer["outcome"] == outcome and answer["input"] == line, f"{line}: {answer}"
        return answer

    def scan(self, line, outcome="told"):
        self.send(line)
        return self.answer(line, outcome)

    def refused(self, line, words, code=None):
        answer = self.scan(line, "refused")
        assert words in answer["said"] and answer.get("code") == code, answer

    def end(self, code):
        self.process.stdin.close()
        assert self.process.wait(60) == code, self.notices.read_text()
        self.process.stdout.close()
        text = self.notices.read_text()
        assert not any(report in text for report in harness.SANITIZER_REPORTS), text


def bars_of(saw, plans):
    return [bar for plan in plans for bar in saw.ask("plan.show", {"plan": plan})["bars"]]


def check_saw(workshop):
    """One bar's rest is measured wrong, then right, and one of its pieces is spoiled; the others are cut as planned."""
    saw = workshop.client("saw")
    bars = sorted(bars_of(saw, small.release_plans(workshop, ORDER)), key=lambda bar: -bar["remainder"])
    bench = Bench(workshop, "saw")
    assert "quare" in bench.scan(bars[0]["code"])["next"]
    spoiled = bars[0]["pieces"][0]
    bench.scan("spoiled")
    bench.scan(spoiled["code"])
    bench.refused(f"{bars[0]['remainder'] - 100:.1f}", "should be left", "check-measure")
    done = bench.scan(f"{bars[0]['remainder'] - 1.5:.1f}", "done")
    assert done["requests"][0]["verb"] == "bar.cut"
    assert "Next of plan" in done["next"] or "plan is done" in done["said"], done
    for bar in bars[1:]:
        bench.scan(bar["code"])
        bench.scan("done", "done")
    bench.scan(bars[0]["code"])  # is told to be cut
    bench.refused("done", "nothing in hand")
    assert workshop.sql(f"select correction from ellwand.plan_bar where id = {bars[0]['plan_bar']}") == ["-15"]
    # The spoiled piece is planned once more.
    for bar in bars_of(saw, small.release_plans(workshop, ORDER)):
        assert [piece["piece"] for piece in bar["pieces"]] == [spoiled["piece"]]
        bench.scan(bar["code"])
        assert "plan is done" in bench.scan("done", "done")["said"]
    bench.refused("K999999", "misread")
    bench.end(1)
    return spoiled["code"]


def take_order(workshop):
    """The order, and everything that it lacks over three bins; gliders lie in two."""
    desk, stores = workshop.client("desk"), workshop.client("stores")
    short = desk.ask("order.take", small.order(ORDER))["short"]
    for number, line in enumerate(short):
        quantity = 60000 if line["unit"] == "length" else line["short"]
        small.receive(stores, line["part"], BINS[number % 3], quantity)
    small.receive(stores, "WT-GLIDER", "C1", 500)
    return [kit["kit"] for kit in stores.ask("kit.list", {"order": ORDER})["kits"]]


def interrupted(workshop, bench, line, outcome):
    """The daemon dies at the moment of a scan, and comes back: the scan is done, once."""
    bench.send(line)
    workshop.kill()
    workshop.launch()
    return bench.answer(line, outcome)


def away(workshop, bench, line, outcome):
    """The daemon is away when something is scanned: the session says so, and waits."""
    workshop.kill()
    bench.send(line)
    harness.until(30, "the session says that it waits", lambda: "Your scan is kept" in bench.notices.read_text())
    workshop.launch()
    return bench.answer(line, outcome)


def walk(workshop, bench, kits, deaths):
    """Stop by stop until nothing is left; at some of them the daemon dies."""
    stores = workshop.client("stores")
    for number in range(100):
        stops = stores.insist("kit.show", {"kits": kits})["stops"]
        if not stops:
            return
        bench.scan(stops[0]["code"])
        for share in stops[0]["split"]:
            death = deaths.get(number)
            said = death(workshop, bench, share["kit"], "done") if death else bench.scan(share["kit"], "done")
            assert f"into {share['kit']}" in said["said"], said
    raise AssertionError("the walk does not end")


def check_refusals(workshop, bench, kits):
    """What is wrong is refused and nothing is lost; a short bin, and a pick taken back."""
    stores = workshop.client("stores")
    stop = stores.ask("kit.show", {"kits": kits[:2]})["stops"][0]
    own = stop["split"][0]
    bench.refused("short", "Scan the bin")
    bench.scan(stop["bin"])  # typed: its own name
    bench.refused(kits[2], "not in hand")
    bench.scan("9999")
    bench.refused(own["kit"], "", "wrong-quantity")
    bench.scan(own["kit"], "done")
    bench.scan("undo", "done")
    bench.refused("undo", "nothing of this session")
    foreign = stores.ask("kit.show", {"kits": [kits[2]]})["kits"][0]["pieces"][0]["code"]
    bench.refused(foreign, kits[2], "wrong-kit")
    glider = [stop for stop in stores.ask("kit.show", {"kits": kits[:2]})["stops"] if stop["part"] == "WT-GLIDER"][0]
    bench.scan("stop")
    for kit in kits[:2]:
        bench.scan(kit)
    bench.scan(glider["code"])
    bench.scan(glider["part_code"])
    bench.scan("short")
    assert "holds 7" in bench.scan("7", "done")["said"]
    there = {place["bin"]: place["on_hand"] for place in small.stock_of(stores, "WT-GLIDER")["bins"]}
    assert there == {glider["bin"]: 7, "C1": 500}, there
    bench.refused("undo", "stock adjust")
    assert {stop["bin"] for stop in stores.ask("kit.show", {"kits": kits[:2]})["stops"] if stop["part"] == "WT-GLIDER"} <= \
        {glider["bin"], "C1"}


def check_stores(workshop, kits, void):
    stores = workshop.client("stores")
    bench = Bench(workshop, "stores")
    for kit in kits[:2]:
        bench.scan(kit)
    check_refusals(workshop, bench, kits)
    bench.refused("done", "Still to be picked", "kit-not-complete")
    walk(workshop, bench, kits[:2], {1: interrupted, 2: away})
    for kit in stores.insist("kit.show", {"kits": kits[:2]})["kits"]:
        for piece in kit["pieces"]:
            bench.scan(piece["code"], "done")
    assert "All is there" in bench.scan("more")["next"]
    said = interrupted(workshop, bench, "X1F", "done")["said"]  # the control code of DONE
    assert all(f"Kit {kit} is packed." in said for kit in kits[:2]), said
    bench.scan(kits[2])
    bench.refused(void, "printed again", "void-label")
    walk(workshop, bench, kits[2:], {})
    bench.scan(stores.ask("kit.show", {"kits": [kits[2]]})["kits"][0]["pieces"][0]["code"], "done")
    assert "order is packed whole" in bench.scan("done", "done")["said"]
    parcels = [parcel["code"] for parcel in stores.ask("parcel.list", {"order": ORDER})["parcels"]]
    for parcel in parcels:
        said = bench.scan(parcel, "done")["said"]
    assert "dispatched" in said
    bench.refused(parcels[0], "", "parcel-sent")
    bench.end(1)


def check_books(workshop):
    """What was picked and not put back is what the take-off asked for, once."""
    assert workshop.sql("select count(*) from ellwand.kit_line where picked <> wanted") == ["0"]
    assert workshop.sql("""select count(*) from (
        select kit_line.id from ellwand.kit_line left join ellwand.ledger on ledger.kit_line = kit_line.id
        group by kit_line.id, wanted having coalesce(-sum(delta), 0) <> wanted) wrong""") == ["0"]
    assert workshop.sql("select distinct state from ellwand.kit") == ["dispatched"]
    # One pick was put back and done again; no other line of the ledger is there twice.
    assert workshop.sql("select count(*) from ellwand.ledger where kind = 'put-back'") == ["1"]
    small.assert_clean(workshop.client("manager"))


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop)
        kits = take_order(workshop)
        void = check_saw(workshop)
        check_stores(workshop, kits, void)
        check_books(workshop)
        workshop.stop()


main()
