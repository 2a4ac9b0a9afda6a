# SPDX-License-Identifier: Apache-2.0
"""Print jobs that stop halfway and go on, that move to another station, that use sheets of labels to the end; the print queues
there are; and text of an order that would like to be more than text."""
import pathlib
import re
import subprocess
import sys

import small
from small import harness, refused

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1]))
import printed  # noqa: E402  (the path is set above)

BEHAVE = harness.PRINTER / "ctl" / "behave"
SHEET = {"code": "S24", "name": "Sheet of 24", "width": 70, "height": 37, "sheet": {
    "width": 210, "height": 297, "columns": 3, "rows": 8, "left": 0, "top": 0, "step_x": 70, "step_y": 37}}
BINS = [f"M{number:02}" for number in range(1, 31)]


def jobs(client, state=None):
    return client.ask("print.list", {"state": state} if state else {})["jobs"]


def job_of(client, number):
    return next(job for state in (None, "printed", "cancelled") for job in jobs(client, state) if job["job"] == number)


def wait_done(client, seconds=60):
    harness.until(seconds, "all labels are printed", lambda: not jobs(client))


def set_station(workshop, name, **fields):
    fields = {"stock": "L100X50", "kinds": [], **fields}
    if "folder" not in fields:
        fields["queue"] = fields.get("queue", harness.QUEUE)
    workshop.client("manager").ask("station.set", {"station": name, **fields})


def ask_labels(workshop, bins):
    answer = workshop.client("stores").ask("bin.label", {"bins": bins})["labels"]
    return [job for entry in answer for job in entry["jobs"]]


def codes_of(workshop, number):
    return workshop.sql(f"select item ->> 'code' from ellwand.print_job, jsonb_array_elements(payload) item where id = {number}")


def check_found(workshop):
    queues = workshop.client("desk").ask("station.found")["queues"]
    queue = next(queue for queue in queues if queue["queue"] == harness.QUEUE)
    assert queue["takes_pdf"] and queue["resolutions"] == [300] and queue["state"] in ("ready", "busy"), queue
    assert {"L100X50", "L62X29", "S24"} <= set(queue["stocks"]) and queue["stations"] == ["labels"], queue
    assert "A3" not in queue["stocks"], "a label printer takes A3"
    assert "100 x 50" in queue["sizes"] and queue["copies"] >= 999, queue


def check_jam(workshop):
    """A batch is one job; it jams after the second label and goes on with the third, by itself."""
    saw = workshop.client("saw")
    BEHAVE.write_text("JAM=2\n")
    (number,) = ask_labels(workshop, BINS[:5])
    wait_done(saw)
    job = job_of(saw, number)
    assert (job["state"], job["labels"], job["attempt"]) == ("printed", 5, 2), job
    pages = sorted((harness.PRINTER / "out").glob(f"*-ellwand-{workshop.name}-{number}-1*.page"))
    came_out = [code for page in pages for code in printed.codes_in(page)]
    rest = [code for at, _, path in printed.documents(workshop) if at == number for code in printed.codes_in(path)]
    assert came_out + rest == codes_of(workshop, number) and len(came_out) == 2, (came_out, rest)


def check_move_waiting(workshop):
    """Other labels are in the printer: that is told before anything is sent, and the job moves as it is."""
    saw, folder = workshop.client("saw"), workshop.folder / "other"
    folder.mkdir()
    set_station(workshop, "labels", stock="L80X40", kinds=["bin"])
    set_station(workshop, "files", folder=str(folder), stock="L62X29")
    numbers = ask_labels(workshop, BINS[5:8])
    station = harness.until(20, "the station says that other labels are in its printer", lambda: next(
        (row for row in saw.ask("station.list")["stations"] if row["station"] == "labels" and "load" in row["message"]), None))
    assert "80 x 40 mm" in station["message"], station
    (waiting,) = jobs(saw)
    assert waiting["state"] == "queued" and waiting["attempt"] == 0 and waiting["message"] == station["message"], waiting
    refused(lambda: saw.ask("print.move", {"job": numbers[0], "to": "nowhere"}), "not-found")
    refused(lambda: saw.ask("print.move", {"to": "files"}), "one-of-two")
    (moved,) = saw.ask("print.move", {"of": "labels", "to": "files"})["jobs"]
    assert moved["job"] == numbers[0] and moved["station"] == "files", moved
    wait_done(saw)
    (file,) = folder.iterdir()
    assert re.fullmatch(rf"ellwand-{workshop.name}-{numbers[0]}-1\.pdf", file.name), file
    assert "175.7" in harness.run("pdfinfo", file), "it is not drawn for the labels of 62 mm that it came to"
    assert printed.codes_in(file) == codes_of(workshop, numbers[0])
    refused(lambda: saw.ask("print.move", {"job": numbers[0], "to": "labels"}), "is-printed")
    set_station(workshop, "labels", kinds=["bin"])


def check_move_from_printer(workshop):
    """The scheduler has it and the printer does not: nothing came out. Then the printer has it: that is not known."""
    saw, folder = workshop.client("saw"), workshop.folder / "other"
    harness.run("cupsdisable", harness.QUEUE)
    (certain,) = ask_labels(workshop, BINS[8:10])
    harness.until(20, "the scheduler has it", lambda: job_of(saw, certain)["state"] == "printing")
    saw.ask("print.move", {"job": certain, "to": "files"})
    wait_done(saw)
    harness.run("cupsenable", harness.QUEUE)
    assert job_of(saw, certain)["station"] == "files" and "A" not in "".join(job_of(saw, certain)["codes"])
    BEHAVE.write_text("DELAY=30\n")
    (doubtful,) = ask_labels(workshop, BINS[10:12])
    harness.until(20, "the printer has it", lambda: list((harness.PRINTER / "out").glob(f"*-{workshop.name}-{doubtful}-1*.env")))
    (taken,) = saw.ask("print.move", {"job": doubtful, "to": "files"})["jobs"]
    assert taken["state"] == "printing", taken
    wait_done(saw)
    BEHAVE.unlink()
    old = job_of(saw, doubtful)
    assert old["state"] == "cancelled" and "as reprints" in old["message"], old
    new = next(job for job in jobs(saw, "printed") if job["job"] > doubtful)
    assert new["station"] == "files" and not set(new["codes"]) & set(old["codes"]), new
    assert saw.ask("scan.look", {"code": old["codes"][0]})["code"] == new["codes"][0]
    harness.service("printer_kill")  # it goes on with what it has; a new one is ready at once
    harness.service("printer_start")
    assert len(list(folder.glob("*.pdf"))) == 3


def check_cancel_at_printer(workshop):
    saw = workshop.client("saw")
    harness.run("cupsdisable", harness.QUEUE)
    (number,) = ask_labels(workshop, BINS[12:13])
    harness.until(20, "the scheduler has it", lambda: job_of(saw, number)["state"] == "printing")
    assert saw.ask("print.cancel", {"job": number})["state"] == "printing"
    harness.until(20, "it is given up", lambda: job_of(saw, number)["state"] == "cancelled")
    harness.run("cupsenable", harness.QUEUE)


def places_of(file, page=1):
    """Which places of the sheet of 24 have a code on them."""
    found = []
    for place in range(24):
        corner = [str(round(number * 300 / 25.4)) for number in (place % 3 * 70, place // 3 * 37, 22, 22)]
        picture = file.with_suffix(f".{place}")
        subprocess.run(["pdftoppm", "-r", "300", "-gray", "-png", "-singlefile", "-f", str(page), "-l", str(page), "-x", corner[0],
                        "-y", corner[1], "-W", corner[2], "-H", corner[3], file, picture], check=True, timeout=60)
        shown = subprocess.run(["dmtxread", "-N1", "-m300", f"{picture}.png"], capture_output=True, check=False, timeout=60)
        if shown.stdout:
            found.append(place + 1)
    return found


def check_sheets(workshop):
    """A part-used sheet: the next job begins where a person says; then each goes on where the one before ended, if it is to."""
    manager, stores, folder = workshop.client("manager"), workshop.client("stores"), workshop.folder / "sheets"
    folder.mkdir()

    def station(name):
        return next(row for row in manager.ask("station.list")["stations"] if row["station"] == name)
    set_station(workshop, "labels", kinds=[])
    set_station(workshop, "sheets", folder=str(folder), stock="S24", kinds=["bin"])
    refused(lambda: stores.ask("station.sheet", {"station": "sheets", "place": 25}), "out-of-range")
    refused(lambda: stores.ask("station.sheet", {"station": "labels", "place": 2}), "wrong-stock")
    assert stores.ask("station.sheet", {"station": "sheets", "place": 23}) == {"station": "sheets", "place": 23, "places": 24}
    (number,) = ask_labels(workshop, BINS[13:16])
    wait_done(stores)
    file = folder / f"ellwand-{workshop.name}-{number}-1.pdf"
    assert (places_of(file, 1), places_of(file, 2)) == ([23, 24], [1])
    assert (station("sheets")["place"], station("sheets")["free_place"], station("sheets")["places"]) == (1, 2, 24)
    set_station(workshop, "sheets", folder=str(folder), stock="S24", kinds=["bin"], part_sheets=True)
    for bins, expected, place in ((BINS[16:18], [1, 2], 3), (BINS[18:19], [3], 4)):
        (number,) = ask_labels(workshop, bins)
        wait_done(stores)
        assert places_of(folder / f"ellwand-{workshop.name}-{number}-1.pdf") == expected
        assert station("sheets")["place"] == place
    set_station(workshop, "sheets", folder=str(folder), stock="S24", kinds=[])


def check_delivery(workshop):
    """A whole delivery is one batch of labels, or, where one row is wrong, nothing at all."""
    stores, folder = workshop.client("stores"), workshop.folder / "bars"
    folder.mkdir()
    set_station(workshop, "files", folder=str(folder), kinds=["bar", "offcut"])
    rows = [{"kind": "bar", "system": system["code"], "finish": system["finishes"][0], "length": system["bars"][0]["length"], "count": 3}
            for system in small.catalogue()["systems"][:4]]
    wrong = refused(lambda: stores.ask("rack.load", {"bars": rows + [dict(rows[0], length=1234)]}), "check-measure")
    assert wrong.where == f"bars[{len(rows)}].length", wrong.where
    refused(lambda: stores.ask("rack.load", {"bars": []}), "out-of-range")
    assert stores.ask("rack.list")["count"] == 0
    answer = stores.ask("rack.load", {"bars": rows})
    assert len(answer["bars"]) == 3 * len(rows) and [(entry["kind"], entry["labels"], len(entry["jobs"])) for entry in answer["labels"]
                                          if entry["labels"]] == [("bar", 3 * len(rows), 1)], answer
    wait_done(stores)
    (file,) = folder.iterdir()
    assert printed.codes_in(file) == [bar["code"] for bar in answer["bars"]]


HOSTILE = {"customer": "</tspan><b>&amp;\"'--; drop table label; %s%n ${HOME} $(touch owned) `id`",
           "room": "../../../etc/passwd", "window": "^XA~JR <script>",  # ZPL resets a printer by ~JR
           "notes": "%!PS showpage \\x1bE @PJL RESET ) Tj (x"}


def check_hostile_text(workshop):
    """Text from an order is shown as it is. It becomes no markup, no command, no path, no name of a job."""
    folder = workshop.folder / "hostile"
    folder.mkdir()
    order = small.order("A1001")
    order.update(order="../HOSTILE", customer=HOSTILE["customer"], notes=HOSTILE["notes"])
    order["windows"] = order["windows"][:1]
    order["windows"][0].update(window=HOSTILE["window"], room=HOSTILE["room"])
    set_station(workshop, "files", folder=str(folder), kinds=["piece"])
    set_station(workshop, "labels", kinds=["kit"])
    workshop.client("desk").ask("order.take", order)
    small.release_plans(workshop, "../HOSTILE", bars=3)
    wait_done(workshop.client("saw"))
    files = list(folder.iterdir())
    assert files and all(re.fullmatch(rf"ellwand-{workshop.name}-\d+-1\.pdf", file.name) for file in files), files
    newest = max(printed.documents(workshop))
    envelope = newest[2].parent / (newest[2].stem.split(".")[0])
    described = newest[2].name + "".join(path.read_text(errors="replace") for path in newest[2].parent.glob(f"{envelope.name}*.env"))
    assert f"ellwand-{workshop.name}-{newest[0]}-{newest[1]}" in newest[2].name, newest
    for text in HOSTILE.values():
        assert text not in described
    for file in (files[0], newest[2]):
        shown = harness.run("pdftotext", "-layout", file, "-")
        assert "../HOSTILE" in shown, shown
        told = harness.run("pdfinfo", file)
        assert "HOSTILE" not in told and re.search(r"Title: +(piece|kit)\n", told) and "JavaScript:      no" in told, told
    text = harness.run("pdftotext", "-layout", files[0], "-")
    assert HOSTILE["window"] in text and HOSTILE["room"] in text, text
    assert not list(workshop.folder.rglob("owned")) and not pathlib.Path("owned").exists()


def main():
    with harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        catalogue = small.catalogue()
        catalogue["label_stocks"] += [SHEET, {"code": "L80X40", "name": "Label 80 x 40", "width": 80, "height": 40},
                                      {"code": "A3", "name": "A3", "width": 297, "height": 420}]
        workshop.client("manager").ask("catalogue.import", {"catalogue": catalogue})
        workshop.client("stores").ask("bin.set", {"bins": [{"code": code, "walk": 100} for code in BINS]})
        set_station(workshop, "labels", kinds=["bin"])
        for check in (check_found, check_jam, check_move_waiting, check_move_from_printer, check_cancel_at_printer, check_delivery, check_sheets,
                      check_hostile_text):
            print(check.__name__, flush=True)
            check(workshop)
            small.assert_clean(workshop.client("desk"))
        workshop.stop()


main()
