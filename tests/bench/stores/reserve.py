# SPDX-License-Identifier: Apache-2.0
"""Reservations a second through the desk's own code, against pgbench running the very same statements.

    deploy/with-services /usr/bin/python3 tests/bench/stores/reserve.py [CLIENTS...]

A pair is an order held (its reservations given up and handed on) and resumed (reserved again), 16 statements each.
The statements are those that the desk sends: they are read from PostgreSQL's log of one pair and written down for pgbench
with the same parameters. Both run in turn, three times, on the same database; medians and their ratio are printed.
Nothing here is a test.
"""
import json
import re
import statistics
import subprocess
import sys

import books
from books import harness

ORDERS, PAST, PARTS = 20_000, 19_404, 2_000
SECONDS, ROUNDS = 5, 3
FIRST = PAST + 1
SETTINGS = "-c search_path=ellwand,pg_temp -c TimeZone=UTC -c DateStyle=ISO,YMD -c jit=off -c statement_timeout=30000"


def desk(workshop, *options):
    login = f"host={harness.os.environ['PGHOST']} port={harness.os.environ['PGPORT']} dbname={workshop.database} user=ellwand_daemon"
    said = harness.run(harness.BUILD / "bench" / "stores", "--database", login, "--workshop", workshop.name, "--key", "desk",
                       "--first", FIRST, *options)
    return json.loads(said)


def statements(text):
    """(statement, parameters as SQL literals) in the order in which they were executed."""
    entry = re.compile(r"LOG:  execute (\S+): (.*?)\n(?=\d{4}-\d\d-\d\d )", re.S)
    detail = re.compile(r"DETAIL:  parameters: (.*?)\n(?=\d{4}-\d\d-\d\d )", re.S)
    found, at = [], 0
    text += "9999-99-99 "
    while match := entry.search(text, at):
        at = match.end()
        said = detail.match(text, text.index("DETAIL", at)) if re.match(r"\S+ \S+ \S+ \[\d+\] DETAIL:", text[at:]) else None
        values = dict(re.findall(r"\$(\d+) = ('(?:[^']|'')*'|NULL)", said.group(1), re.S)) if said else {}
        found.append((match.group(2).replace("\n\t", "\n"), {int(place): value for place, value in values.items()}))
    return found


class Script:
    """pgbench's script: constants become variables too, so that nothing is planned with them."""

    def __init__(self):
        self.lines = [f"\\set order {FIRST} + :client_id * 40 + random(0, 39)"]
        self.constants = {}
        self.name_of = {}

    def constant(self, literal):
        text = literal[1:-1].replace("''", "'")
        if text not in self.name_of:
            self.name_of[text] = f"constant{len(self.name_of)}"
            self.constants[self.name_of[text]] = text
        return f":{self.name_of[text]}"

    def value(self, literal, step, locked):
        """What stands for a parameter: the order and the request differ each time, the parts are those just locked."""
        if literal == "NULL":
            return "null"
        if literal == f"'{FIRST}'":
            return ":order"
        if literal == f"'N{FIRST}'":
            return "('N' || :order::text)"
        if re.fullmatch(rf"""'{{"order": ?"N{FIRST}"(,"reason":"bench")?}}'""", literal):
            before, after = literal.split(str(FIRST))
            return f"({self.constant(before + chr(39))}::text || :order::text || {self.constant(chr(39) + after)}::text)"
        if re.fullmatch(r"'bench-\d+-\d+-\d+-\w+'", literal):
            return f"('{step}-' || pg_current_xact_id()::text)"
        if locked and re.fullmatch(r"'\[[\d, ]+\]'", literal):
            return ":parts"
        return self.constant(literal)

    def add(self, statement, values, step, locked):
        text = re.sub(r"--[^\n]*", "", statement)
        typed = lambda match: f"{self.value(values[int(match.group(1))], step, locked)}{match.group(2) or ''}"  # noqa: E731
        text = re.sub(r"\$(\d+)(::\w+)?", typed, text).strip().rstrip(";")
        locks = "hold_parts(" in text
        self.lines.append(text + (" \\gset" if locks else ";"))
        return locks


def write_script(workshop, path):
    """One pair through the desk with its statements logged, written down for pgbench."""
    workshop.sql("alter role ellwand_daemon set log_statement = 'all'")
    position = books.log_size()
    desk(workshop, "--pairs", "1", "--clients", "1")
    workshop.sql("alter role ellwand_daemon reset log_statement")
    script, locked, inside, step, count = Script(), False, False, "hold", 0
    for statement, values in statements(books.log_since(position)):
        if statement.lstrip().startswith("begin"):
            inside = True
        if inside:
            locked = script.add(statement, values, step, locked) or locked
            count += 1
        if inside and statement.lstrip().startswith("commit"):
            inside, locked = False, False
            step = "resume"
    path.write_text("\n".join(script.lines) + "\n")
    return script, count


def pgbench(workshop, script, path, clients):
    options = [word for name, text in script.constants.items() for word in ("-D", f"{name}={text}")]
    done = subprocess.run(["pgbench", "-n", "-M", "prepared", "-c", str(clients), "-j", str(min(clients, 2)), "-T", str(SECONDS),
                           "--max-tries=1000", *options, "-f", str(path), "-U", "ellwand_daemon", workshop.database],
                          env={**harness.os.environ, "PGOPTIONS": SETTINGS}, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0 and "number of failed transactions: 0 " in done.stdout, done.stdout + done.stderr[-3000:]
    return float(re.search(r"tps = ([\d.]+)", done.stdout).group(1))


def main():
    counts = [int(word) for word in sys.argv[1:]] or [1, 4]
    with harness.Workshop() as workshop:
        workshop.start()
        books.fill(workshop, ORDERS, PAST, PARTS)
        workshop.stop()
        path = workshop.folder / "pair.pgbench"
        script, count = write_script(workshop, path)
        print(f"{count} statements a pair")
        for clients in counts:
            ours, theirs = [], []
            for _ in range(ROUNDS):
                # pgbench stops where it is when its time is up, between hold and resume
                workshop.sql("update ellwand.job_order set state = 'taken' where state = 'held'")
                ours.append(desk(workshop, "--clients", clients, "--seconds", SECONDS)["pairs_a_second"])
                theirs.append(pgbench(workshop, script, path, clients))
            ratio = statistics.median(ours) / statistics.median(theirs)
            print(f"{clients} clients: the desk {statistics.median(ours):.0f} pairs a second {sorted(map(round, ours))},"
                  f" pgbench {statistics.median(theirs):.0f} {sorted(map(round, theirs))}: {100 * ratio:.0f} %", flush=True)


main()
