# SPDX-License-Identifier: Apache-2.0
"""The print workers: wait while the print server is away and say why, hold what a person must look at, and mark reprints, which
make the label before them void. (tests/faults/printing kills the daemon while they work.)"""
import collections
import re

import small
from small import harness, refused

BEHAVE = harness.PRINTER / "ctl" / "behave"


def jobs(client, state=None):
    return client.ask("print.list", {"state": state} if state else {})["jobs"]


def printed_names(workshop):
    """Every print that reached paper, by the name of its job without the attempt, with how often it did."""
    names = (re.search(rf"ellwand-{workshop.name}-\d+", path.name) for path in (harness.PRINTER / "out").glob("*.prn"))
    return collections.Counter(name.group(0) for name in names if name)


def wait_done(client, seconds=60):
    harness.until(seconds, "all labels are printed", lambda: not jobs(client))


def order_labels(workshop, number):
    """An order at the saw: its labels of pieces and kits are queued."""
    order = small.order("A1001")
    order.update(order=number)
    workshop.client("desk").ask("order.take", order)
    small.release_plans(workshop, number, bars=3)


def check_once(workshop):
    order_labels(workshop, "ONCE")
    saw = workshop.client("saw")
    wait_done(saw)
    done = jobs(saw, "printed")
    assert {job["kind"] for job in done} == {"piece", "kit"} and all(job["printed_at"] for job in done)
    assert set(printed_names(workshop).values()) == {1} and len(printed_names(workshop)) == len(done)
    messages = [station["message"] for station in saw.ask("station.list")["stations"]]
    assert messages == [""], messages


def check_lost_word(workshop):
    """A daemon that died after the print server took the job and before it noted so: the next one finds it by its name."""
    saw = workshop.client("saw")
    before = printed_names(workshop)
    workshop.sql("set search_path = ellwand; begin; set local session_replication_role = replica;"
                 " update print_job set state = 'sending', cups_job = null, printed_at = null, leased_until = now()"
                 " where id = (select max(id) from print_job where state = 'printed');"
                 " delete from history where id = (select max(id) from history where kind = 'print'"
                 " and subject = (select max(id) from print_job where state = 'sending'));"
                 " delete from history where id = (select max(id) from history where kind = 'print'"
                 " and subject = (select max(id) from print_job where state = 'sending'));"
                 " commit")
    assert jobs(saw)
    wait_done(saw)
    assert printed_names(workshop) == before, "it was printed once more"


def check_server_away(workshop):
    saw = workshop.client("saw")
    harness.service("cups_stop")
    order_labels(workshop, "AWAY")
    waiting = harness.until(20, "the queue says why", lambda: [job for job in jobs(saw) if job["message"]])
    assert {job["state"] for job in jobs(saw)} == {"queued"} and len(jobs(saw)) == 2, waiting
    harness.until(20, "the station says why", lambda: saw.ask("station.list")["stations"][0]["message"])
    small.assert_clean(saw)
    harness.service("cups_start")
    wait_done(saw)
    assert set(printed_names(workshop).values()) == {1}
    harness.until(20, "the station is well", lambda: saw.ask("station.list")["stations"][0]["message"] == "")


def check_held(workshop):
    """A printer that gives a job up: a person looks, and says what is so."""
    saw = workshop.client("saw")
    BEHAVE.write_text("FAIL=1\n")
    order_labels(workshop, "FAILS")
    harness.until(60, "the printer gave up what it got", lambda: not [job for job in jobs(saw) if job["state"] != "held"])
    held = jobs(saw, "held")
    assert len(held) == 2, (held, jobs(saw, "printed")[:3])
    assert all("print retry" in job["message"] for job in held), held
    BEHAVE.unlink()
    small.assert_clean(saw)
    assert all(job["unsure"] and job["done"] == 0 for job in held), held
    doubtful, looked = held
    # Somebody looked: nothing came out. It is printed as if for the first time.
    refused(lambda: saw.ask("print.retry", {"job": looked["job"], "from": 3}), "out-of-range")
    saw.ask("print.retry", {"job": looked["job"], "from": 1})
    # Nobody looked: what may be there already is printed as a reprint, and void where it did come out.
    again = saw.ask("print.retry", {"job": doubtful["job"]})
    assert again["instead_of"] == doubtful["job"] and again["job"] not in (doubtful["job"], looked["job"])
    wait_done(saw)
    newest = {job["job"]: job for job in jobs(saw, "printed")}
    assert newest[looked["job"]]["attempt"] == 2 and newest[looked["job"]]["codes"] == looked["codes"]
    assert not set(newest[again["job"]]["codes"]) & set(doubtful["codes"]), "reprints without codes of their own"
    assert [job["job"] for job in jobs(saw, "cancelled")][0] == doubtful["job"]
    for old, new in zip(doubtful["codes"], newest[again["job"]]["codes"]):
        found = saw.ask("scan.look", {"code": old})
        assert found["void"] == old and found["code"] == new and new in found["say"] and found["can"] == [], found
        assert "void" not in saw.ask("scan.look", {"code": new})
    assert workshop.sql("select distinct item ->> 'reprint' from ellwand.print_job, jsonb_array_elements(payload) item"
                        f" where id = {again['job']}") == ["1"]
    refused(lambda: saw.ask("print.retry", {"job": looked["job"]}), "is-printed")
    refused(lambda: saw.ask("print.done", {"job": 999999}), "not-found")


def check_done(workshop):
    """The person who looks finds all of it there."""
    saw = workshop.client("saw")
    BEHAVE.write_text("FAIL=1\n")
    code = saw.ask("kit.list")["kits"][0]["kit"]
    job = saw.ask("label.reprint", {"code": code})["jobs"][0]
    harness.until(60, "the printer gave it up", lambda: jobs(saw, "held"))
    BEHAVE.unlink()
    assert saw.ask("print.done", {"job": job, "reason": "it came out after all"})["state"] == "printed"
    assert saw.ask("scan.look", {"code": code})["void"] == code


def check_reprint(workshop):
    saw, stores = workshop.client("saw"), workshop.client("stores")
    code = saw.ask("kit.list")["kits"][1]["kit"]
    saw.ask("label.reprint", {"code": code, "reason": "spoilt"})
    refused(lambda: saw.ask("label.reprint", {"code": code}), "not-printed-yet")
    wait_done(saw)
    found = saw.ask("scan.look", {"code": code})
    new = found["code"]
    assert found["void"] == code and new[:-2] == code[:-1] and new[-2] == "A", found
    # Whoever finds the old one can do nothing with it, and is told which holds; lists have the new one.
    assert new in refused(lambda: stores.ask("kit.show", {"kits": [code]}), "void-label").message
    assert saw.ask("kit.list")["kits"][1]["kit"] == new == stores.ask("kit.show", {"kits": [new]})["kits"][0]["kit"]
    # Lost once more.
    saw.ask("label.reprint", {"code": new})
    wait_done(saw)
    assert saw.ask("scan.look", {"code": code})["code"] == saw.ask("scan.look", {"code": new})["code"]
    assert saw.ask("scan.look", {"code": new})["code"][-2] == "B"
    marks = workshop.sql("select payload -> 0 ->> 'reprint' from ellwand.print_job order by id desc limit 2")
    assert marks == ["2", "1"], marks
    refused(lambda: saw.ask("label.reprint", {"code": workshop.sql("select ellwand.scan_code('T', 1)")[0]}), "no-label")


def check_void_at_the_saw(workshop):
    """A bar's label that was printed again: the old one neither cuts nor writes off."""
    saw, manager = workshop.client("saw"), workshop.client("manager")
    manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": ["piece", "kit", "bar"]})
    system = saw.ask("rack.list")["bars"][0]
    old = saw.ask("rack.add", {"kind": "bar", "system": system["system"], "finish": system["finish"],
                               "length": 6000})["bars"][0]["code"]
    wait_done(saw)
    saw.ask("label.reprint", {"code": old})
    wait_done(saw)
    refused(lambda: saw.ask("rack.write-off", {"bar": old, "reason": "test"}), "void-label")
    assert refused(lambda: saw.ask("bar.cut", {"bar": old}), "void-label").where == "bar"
    saw.ask("rack.write-off", {"bar": saw.ask("scan.look", {"code": old})["code"], "reason": "test"})


def check_cancel(workshop):
    saw = workshop.client("saw")
    harness.service("cups_stop")
    code = saw.ask("kit.list")["kits"][0]["kit"]
    job = saw.ask("label.reprint", {"code": code})["jobs"][0]
    harness.until(20, "it waits", lambda: jobs(saw)[0]["state"] == "queued" and jobs(saw)[0]["message"])
    assert saw.ask("print.cancel", {"job": job})["state"] == "cancelled"
    harness.service("cups_start")
    assert not jobs(saw)


def check_folder(workshop):
    """A station that is a folder: each job is one file, whole."""
    folder = workshop.folder / "pdf"
    folder.mkdir()
    manager = workshop.client("manager")
    manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": []})
    manager.ask("station.set", {"station": "files", "folder": str(folder), "stock": "L100X50", "kinds": ["piece", "kit"]})
    order_labels(workshop, "FILES")
    wait_done(manager)
    files = sorted(folder.iterdir())
    assert len(files) == 2 and all(file.read_bytes().startswith(b"%PDF") for file in files), files
    refused(lambda: manager.ask("station.set", {"station": "x", "folder": "labels", "stock": "L100X50", "kinds": []}), "bad-folder")
    refused(lambda: manager.ask("station.set", {"station": "x", "folder": "/a", "queue": "b", "stock": "L100X50", "kinds": []}),
            "one-of-two")


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        workshop.client("manager").ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50",
                                                       "kinds": ["piece", "kit"]})
        for check in (check_once, check_lost_word, check_server_away, check_held, check_reprint,
                      check_void_at_the_saw, check_done, check_cancel, check_folder):
            print(check.__name__, flush=True)
            check(workshop)
            small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
