# SPDX-License-Identifier: Apache-2.0
"""Printers in trouble: each state is told in plain words by the station, by an event and by `ellwand printers`, and what waits
goes on by itself when it is over. Print jobs that were deleted or held by hand, refused by the printer, or sent twice by a
scheduler that was killed."""
import json
import pathlib
import re
import subprocess
import sys
import threading
import time

import small
from small import harness

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import printed  # noqa: E402  (the path is set above)
import printers  # noqa: E402

BEHAVE = harness.PRINTER / "ctl" / "behave"
BINS = [f"M{number:02}" for number in range(1, 21)]
BINS_LEFT = iter(BINS)


class Events(threading.Thread):
    """`ellwand watch` of one topic."""

    def __init__(self, workshop, *topics):
        super().__init__(daemon=True)
        self.seen = []
        self.process = subprocess.Popen([*command(workshop), "watch", "--json", *topics], stdout=subprocess.PIPE, text=True)
        self.start()

    def run(self):
        for line in self.process.stdout:
            self.seen.append(json.loads(line))

    def close(self):
        self.process.terminate()
        self.process.wait(timeout=20)


def command(workshop, role="manager"):
    """The client with that role's key, up to its command."""
    folder = workshop.folder
    if not (folder / f"{role}.key").exists():
        workshop.keys[role].write(folder / f"{role}.key")
    return [harness.BUILD / "ellwand", "--server", workshop.endpoint, "--server-key", folder / "daemon.key", "--key", folder / f"{role}.key"]


def printers_says(workshop):
    """What `ellwand printers` prints, and its exit code."""
    done = subprocess.run([*command(workshop), "printers"], capture_output=True, text=True, timeout=60, check=False)
    return done.returncode, done.stdout + done.stderr


def jobs(client, state=None):
    return client.ask("print.list", {"state": state} if state else {})["jobs"]


def job_of(client, number):
    return next(job for state in (None, "printed", "cancelled") for job in jobs(client, state) if job["job"] == number)


def message(client):
    return client.ask("station.list")["stations"][0]["message"]


def ask_label(workshop):
    answer = workshop.client("stores").ask("bin.label", {"bins": [next(BINS_LEFT)]})["labels"]
    return answer[0]["jobs"][0]


def shell(*words):
    harness.run(*words)


def service(name):
    return lambda: harness.service(name)


def check_trouble(workshop, events, what, words, begin, end, with_job):
    """From `begin` on the station says `words`; after `end` it says nothing, and a job that waited is printed."""
    saw = workshop.client("saw")
    number = None
    began = time.monotonic()
    begin()
    if with_job:
        number = ask_label(workshop)
    harness.until(30, f"{what} is told", lambda: words in message(saw))
    took = time.monotonic() - began
    code, told = printers_says(workshop)
    assert code == 1 and words in re.sub(r"\s+", " ", told), (what, code, told)
    harness.until(10, f"an event of {what}", lambda: [event for event in events.seen if words in json.dumps(event)])
    if number is None and "CUPS" not in words:
        number = ask_label(workshop)
    waiting = [job for job in jobs(saw) if job["job"] == number]
    assert number is None or waiting, f"{what}: a label came out of it"
    began = time.monotonic()
    end()
    harness.until(60, f"{what} is over", lambda: message(saw) == "" and not jobs(saw))
    print(f"  {what}: told after {took:.1f} s, printed {time.monotonic() - began:.1f} s after its end", flush=True)
    assert printers_says(workshop)[0] == 0, f"{what} is over and `ellwand printers` does not say so"
    names = [path for at, _, path in printed.documents(workshop) if at == number]
    assert number is None or len(names) == 1, (what, names)


def check_troubles(workshop):
    """(What CUPS alone knows, a queue that is paused or refuses, is told from it; the rest from the printer itself.)"""
    events = Events(workshop, "station.state")
    queue = harness.QUEUE

    def steer(text):
        return lambda: BEHAVE.write_text(text)
    for trouble in (
            ("out of labels", "out of labels", steer("STATE=media-empty-error\n"), BEHAVE.unlink, True),
            ("the cover is open", "cover is open", steer("STATE=cover-open-error\n"), BEHAVE.unlink, True),
            ("a jam to be cleared by hand", "jammed", steer("STATE=media-jam-error\n"), BEHAVE.unlink, True),
            ("paused", "paused", lambda: shell("cupsdisable", queue), lambda: shell("cupsenable", queue), False),
            ("refusing", "takes no jobs", lambda: shell("cupsreject", queue), lambda: shell("cupsaccept", queue), False),
            ("offline", "cannot be reached", service("printer_stop"), service("printer_start"), False),
            ("the print server is away", "CUPS does not answer", service("cups_stop"), service("cups_start"), False)):
        check_trouble(workshop, events, *trouble)
    events.close()


def cups_job(saw, workshop, number):
    """The scheduler's own number of a print job."""
    harness.until(20, "the scheduler has it", lambda: job_of(saw, number)["state"] == "printing")
    return workshop.sql(f"select cups_job from ellwand.print_job where id = {number}")[0]


def check_by_hand(workshop):
    """Held by hand it says so and goes on; deleted by hand it waits for a person, who is told what to do."""
    saw = workshop.client("saw")
    shell("cupsdisable", harness.QUEUE)
    held, deleted = ask_label(workshop), ask_label(workshop)
    names = [f"{harness.QUEUE}-{cups_job(saw, workshop, number)}" for number in (held, deleted)]
    shell("lp", "-i", names[0], "-H", "hold")
    shell("cancel", names[1])
    shell("cupsenable", harness.QUEUE)
    harness.until(20, "it is held", lambda: "held" in job_of(saw, held)["message"])
    gone = harness.until(20, "it waits for a person", lambda: [job for job in jobs(saw, "held") if job["job"] == deleted])[0]
    # The printer never had it, so it is no reprint.
    assert "deleted" in gone["message"] and f"print retry {deleted}" in gone["message"] and not gone["unsure"], gone
    assert printers_says(workshop)[0] == 1
    shell("lp", "-i", names[0], "-H", "resume")
    assert saw.ask("print.retry", {"job": deleted})["job"] == deleted
    harness.until(60, "both are printed", lambda: not jobs(saw))
    assert sorted(at for at, _, _ in printed.documents(workshop) if at >= held) == [held, deleted]


def check_refused_format(workshop):
    """A printer that takes no PDF: it is told, and another station prints it. A slow one is only slow."""
    saw, manager = workshop.client("saw"), workshop.client("manager")
    picky = printers.Printer("picky", ("100x50", "62x29"), "image/pwg-raster")
    slow = printers.Printer("slow", ("100x50", "62x29"))
    slow.behave.write_text("DELAY=3\n")
    found = {queue["queue"]: queue for queue in manager.ask("station.found")["queues"]}
    assert set(found) >= {"picky", "slow", harness.QUEUE}, found
    manager.ask("station.set", {"station": "labels", "queue": "picky", "stock": "L100X50", "kinds": ["bin"]})
    manager.ask("station.set", {"station": "other", "queue": "slow", "stock": "L62X29", "kinds": []})
    number = ask_label(workshop)
    held = harness.until(60, "it is refused", lambda: jobs(saw, "held"))[0]
    assert held["job"] == number and "takes no PDF" in held["message"] and held["unsure"], held
    # Somebody looked, and moves it: it came out nowhere.
    saw.ask("print.retry", {"job": number, "from": 1})
    saw.ask("print.move", {"job": number, "to": "other"})
    harness.until(60, "it is printed", lambda: not jobs(saw))
    files = slow.documents()
    assert files and "175.7" in harness.run("pdfinfo", files[-1]), "it is not drawn for the labels of the other station"
    assert printed.codes_in(files[-1])[0].startswith("L")
    for printer in (picky, slow):
        printer.stop()
    manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": ["bin"]})


def check_scheduler_killed(workshop):
    """Killed while the printer has a job, the scheduler sends it once more when it is back, which nobody can keep it from.
    The job then says that there are duplicates, unless it came out once."""
    saw = workshop.client("saw")
    BEHAVE.write_text("DELAY=2\n")
    number = ask_label(workshop)
    harness.until(20, "the printer has it", lambda: list((harness.PRINTER / "out").glob(f"*-{workshop.name}-{number}-1*.env")))
    harness.service("cups_kill")
    harness.service("cups_start")
    harness.until(90, "it is over", lambda: not [job for job in jobs(saw) if job["state"] != "held"])
    BEHAVE.unlink()
    job = job_of(saw, number)
    times = len([at for at, _, _ in printed.documents(workshop) if at == number])
    print(f"  came out {times} times: {job['state']}, {job['message']}", flush=True)
    assert times == 1 or (times == 2 and ("duplicates" in job["message"] or job["state"] == "held")), (times, job)


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        workshop.client("stores").ask("bin.set", {"bins": [{"code": code, "walk": 100} for code in BINS]})
        workshop.client("manager").ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50",
                                                       "kinds": ["bin"]})
        for check in (check_troubles, check_by_hand, check_refused_format, check_scheduler_killed):
            print(check.__name__, flush=True)
            check(workshop)
            small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
