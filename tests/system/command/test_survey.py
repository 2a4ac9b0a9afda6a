#!/usr/bin/python3
"""`ellwand survey`: orders typed in line by line come out as they were written by hand; what is wrong is told with its line.

The answers are made here from the document, by what the questions' order promises, without the program's own table.
SPDX-License-Identifier: Apache-2.0
"""
import csv
import json
import os
import pathlib
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import unittest

DONE, REFUSED, USAGE, UNREACHABLE = range(4)
USUAL_ORDER = {"priority": 5, "unit": "mm"}
USUAL_WINDOW = {"batten": False, "children": True, "measure_confirmed": False}
DETAILS = ("thickness", "hem", "heading_allowance", "overlap", "return", "cloth_width", "pattern_repeat")


def length(value):
    """As it is typed whatever the unit of the order: bare numbers of a document are millimetres."""
    return value if isinstance(value, str) else "-" if value is None else f"{value} mm"


def lengths(values):
    return ", ".join(length(value) for value in values)


def text(value):
    return "-" if value is None else "yes" if value is True else "no" if value is False else str(value)


def order_answers(order):
    return [text(order.get(field)) for field in ("order", "customer", "due")] + [
        text(order.get("priority", 5)), order.get("unit", "mm"), text(order.get("notes"))]


def curtain_answers(curtain, longest):
    details = any(field in curtain for field in DETAILS)
    answers = [curtain.get("reach", "drop"), curtain["heading"]]
    answers += [length(curtain["drop"])] if "drop" in curtain else [length(curtain.get("clearance"))]
    answers += [text(curtain["fullness"]), text(curtain["face"]), text(curtain.get("lining")),
                text(curtain.get("interlining")), length(longest), text(details)]
    return answers + [length(curtain.get(field)) for field in DETAILS if details]


def near_answers(things):
    for thing in things:
        yield thing["what"]
        yield from (length(thing[field]) for field in ("from_left", "width", "from_floor", "height"))
    yield "-"


def window_answers(window):
    outside = window["place"] == "outside"
    bay = window.get("bay")
    answers = [window["window"], text(window.get("room")), window["position"], window["place"]]
    if outside:
        answers.append("bay" if bay else "straight")
    if bay:
        answers += [lengths(bay["straights"]), " ".join(str(angle) for angle in bay["angles"])]
    else:
        answers.append(length(window["width"]) if outside else lengths(window["widths"]))
    answers.append(length(window["height"]))
    if outside:
        answers.append(length(window.get("ceiling")))
    answers.append(length(window.get("floor")))
    if outside and not bay:
        answers += [length(window.get("wall_left")), length(window.get("wall_right"))]
    answers.append(window["substrate"])
    if window["substrate"] != "timber-batten":
        answers.append(text(window.get("batten", False)))
    answers += [window["control"], window["draw"], text(window.get("children", True)), window["system"], window["finish"]]
    if window["control"] != "hand":
        answers.append(length(window.get("cord_drop")))
    return answers + curtain_answers(window["curtain"], window.get("carrier_longest")) + list(near_answers(window.get("near", []))) + [
        text(window.get("notes"))]


def typed(order):
    answers = order_answers(order)
    for number, window in enumerate(order["windows"]):
        answers += (["new"] if number > 0 else []) + window_answers(window)
    return answers + ["done"]


def plain(document):
    """Without what is the same when it is not given."""
    kept = {field: value for field, value in document.items() if USUAL_ORDER.get(field) != value}
    kept["windows"] = [{field: value for field, value in window.items() if field not in USUAL_WINDOW
                        or USUAL_WINDOW[field] != value} for window in document["windows"]]
    return kept


class Survey(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory(prefix="ellwand-survey.")
        self.addCleanup(self.folder.cleanup)
        self.file = pathlib.Path(self.folder.name) / "order.json"
        self.begun = pathlib.Path(f"{self.file}.begun")

    def ellwand(self, *words, code=DONE, given=""):
        kept = {name: value for name, value in os.environ.items() if not name.startswith("ELLWAND_")}
        done = subprocess.run([ELLWAND, *map(str, words)], capture_output=True, input=given.encode(), timeout=60,
                              env=kept | {"HOME": self.folder.name, "XDG_CONFIG_HOME": "", "LC_ALL": "C.UTF-8"})
        told = done.stdout.decode(), done.stderr.decode()
        self.assertEqual(done.returncode, code, told)
        self.assertNotIn("Sanitizer", told[1])
        return told

    def enter(self, lines, *words, code=DONE):
        return self.ellwand("survey", "enter", self.file, "--catalogue", CATALOGUE, *words, code=code,
                            given="".join(f"{line}\n" for line in lines))

    def written(self):
        return json.loads(self.file.read_text())

    def test_every_order_of_the_demonstration(self):
        orders = sorted((SOURCE / "sql/demo/orders").glob("*.json"))
        self.assertEqual(len(orders), 12)
        for path in orders:
            with self.subTest(order=path.name):
                order = json.loads(path.read_text())
                self.file.unlink(missing_ok=True)
                self.enter(typed(order))
                self.assertEqual(plain(self.written()), plain(order))
                self.assertFalse(self.begun.exists())
                # What is there stays when it is passed over by Enter alone; then the next window lacks an answer.
                for window in order["windows"][:1]:
                    self.enter([""] * 60, "--window", window["window"], code=REFUSED)
                self.assertEqual(plain(self.written()), plain(order))

    def test_wrong_answer_is_told_with_its_line(self):
        lines = ["A7", "Invented: N. Nobody", "tomorrow"]
        told, complaint = self.enter(lines, code=REFUSED)
        self.assertEqual(told, "")
        self.assertRegex(complaint, r"^line 3: due: .*2026")
        self.assertFalse(self.file.exists())
        for line, why in (("9" * 5000, "bytes"), ("\x00", "text"), ("", "needs an answer")):
            self.assertRegex(self.enter([line], code=REFUSED)[1], rf"^line 1: order: .*{why}")

    def test_windows_before_a_mistake_are_kept(self):
        order = json.loads((SOURCE / "sql/demo/orders/A1001.json").read_text())
        answers = typed(order)
        second = answers.index("new")
        answers[second + 5] = "12 13"
        complaint = self.enter(answers, code=REFUSED)[1]
        self.assertRegex(complaint, rf"^line {second + 6}: widths: ")
        self.assertEqual([window["window"] for window in self.written()["windows"]], ["W1"])
        # The file goes on with the window that was wrong.
        self.enter(["new"] + window_answers(order["windows"][1]) + ["done"])
        self.assertEqual(plain(self.written()), plain(order))

    def test_answers_that_end_too_early(self):
        order = json.loads((SOURCE / "sql/demo/orders/A1005.json").read_text())
        complaint = self.enter(typed(order)[:12], code=REFUSED)[1]
        self.assertIn("end after line 12", complaint)
        self.assertFalse(self.file.exists() or self.begun.exists())

    def test_stopped_and_gone_on_with(self):
        order = json.loads((SOURCE / "sql/demo/orders/A1005.json").read_text())
        answers = typed(order)
        self.assertIn(str(self.begun), self.enter(answers[:12] + ["."])[1])
        self.assertFalse(self.file.exists())
        self.enter(["done"], "--window", "W1", code=USAGE)
        told = self.enter(answers[12:])[0]
        self.assertEqual(plain(self.written()), plain(order))
        self.assertFalse(self.begun.exists())
        self.assertRegex(told, r"(?s)^W1, Study: .*1402 mm end to end, in one piece; \d+ brackets, \d+ gliders")
        self.begun.write_text('{"window": 1}')
        self.assertIn("remove it", self.enter([], code=USAGE)[1])

    def test_window_that_must_not_be_made_is_told_and_ends_with_1(self):
        order = json.loads((SOURCE / "sql/demo/orders/A1001.json").read_text())
        order["windows"] = [order["windows"][0] | {"ceiling": 30}]
        told, complaint = self.enter(typed(order), code=REFUSED)
        self.assertIn("must not be made", told)
        self.assertRegex(complaint, "^W1: ")
        result = json.loads(self.enter([">"] + ["done"], "--window", "W1", "--json", code=REFUSED)[0])
        self.assertTrue(result["windows"][0]["refused"])
        self.assertIn("<ceiling", told)
        self.enter(["<ceiling", "420", "<due", "2026-12-24", "done"])
        self.assertEqual(self.written()["windows"][0]["ceiling"], 420)
        self.assertEqual(self.written()["due"], "2026-12-24")

    def test_files_that_are_no_order(self):
        self.enter([], "--window", "W1", code=USAGE)
        for content in ("[]", "{", '{"order": "A7"}', '{"order": "A7", "customer": "I", "windows": []}'):
            self.file.write_text(content)
            complaint = self.enter(["done"], code=REFUSED)[1]
            self.assertIn(str(self.file)[:40], complaint)
            self.assertEqual(self.file.read_text(), content)
        self.ellwand("survey", "enter", self.file, "--catalogue", self.file, code=REFUSED)
        told = self.ellwand("survey", "enter", self.file, "--server", "tcp://127.0.0.1:1", "--server-key", "",
                            "--timeout", "0.3", code=UNREACHABLE)[1]
        self.assertIn("--catalogue", told)

    def test_fields_and_the_empty_csv(self):
        rows = json.loads(self.ellwand("survey", "fields", "--json")[0])
        told = self.ellwand("survey", "fields")[0]
        sheet = self.file.with_suffix(".csv")
        self.ellwand("survey", "fields", "--csv", sheet)
        header, = csv.reader(sheet.read_text().splitlines())
        self.assertEqual(sorted(header), sorted(row["column"] for row in rows if row["column"]))
        for row in rows:
            self.assertIn(row["column"] or row["field"], told)
        used = {field for path in (SOURCE / "sql/demo/orders").glob("*.json")
                for window in json.loads(path.read_text())["windows"] for field in window}
        known = {row["field"].split(".")[0] for row in rows}
        self.assertLessEqual(used, known)
        self.ellwand("survey", "fields", "--csv", "/no-such-folder/x.csv", code=6)

    def test_at_a_terminal_one_question_stands_below_the_answers_before_it(self):
        page = Terminal(self.file)
        self.addCleanup(page.end)
        self.assertIn("Number of the order", page.shown())
        self.assertIn("such as A1001", page.type("?"))
        self.assertNotIn("such as A1001", page.type("A7"))
        page.type("Invented: N. Nobody")
        self.assertRegex(page.type("soon"), r"(?s)customer +Invented: N\. Nobody.*Not taken.*2026")
        for line in ("2026-12-04", "", "cm", "", "", "", "face", "out", ""):
            page.type(line)
        shown = page.type("183")
        self.assertRegex(shown, r"(?s)width A +183 cm = 1830 mm.*Height of the opening")
        self.assertLessEqual(shown.count("\n"), 24)
        page.type("\x04", end="")
        self.assertEqual(page.wait(), 0)
        self.assertEqual(json.loads(self.begun.read_text())["answers"]["width"], "183 cm")


class Terminal:
    """A terminal of 80 columns and 24 rows with the entry on it."""

    def __init__(self, path):
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm", LC_ALL="C.UTF-8", COLUMNS="80", LINES="24")
            os.execv(ELLWAND, [ELLWAND, "survey", "enter", str(path), "--catalogue", str(CATALOGUE)])
        self.status = None

    def shown(self):
        """What stands there once it waits at the prompt."""
        text = b""
        while not re.search(rb"stop\S*\r\n\S*> \S*$", text):
            ready, _, _ = select.select([self.file], [], [], 30)
            if not ready:
                raise AssertionError(f"no prompt within 30 s: {text}")
            text += os.read(self.file, 65536)
        page = text[text.rindex(b"\033[2J"):] if b"\033[2J" in text else text
        return re.sub(r"\033\[[0-9;]*[A-Za-z]", "", page.decode()).replace("\r", "")

    def type(self, line, end="\n"):
        os.write(self.file, f"{line}{end}".encode())
        return self.shown() if end else ""

    def wait(self):
        try:
            while os.read(self.file, 65536):
                pass
        except OSError:  # how a terminal ends whose last program has gone
            pass
        _, status = os.waitpid(self.pid, 0)
        self.status = os.waitstatus_to_exitcode(status)
        return self.status

    def end(self):
        if self.status is None:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        os.close(self.file)


if __name__ == "__main__":
    ELLWAND, SOURCE = sys.argv[1], pathlib.Path(sys.argv[2])
    CATALOGUE = SOURCE / "sql/demo/catalogue.json"
    sys.argv[1:] = sys.argv[3:]
    unittest.main()
