# SPDX-License-Identifier: Apache-2.0
"""What the stores' benchmarks share: a workshop with years of books behind it, and readers of PostgreSQL's log."""
import json
import pathlib
import re
import sys
import time

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1] / "system"), str(HERE.parents[1] / "system" / "desk_stores")]
import small  # noqa: E402,F401  (the path is set above)
from small import harness  # noqa: E402,F401

LOG = harness.SERVICES.parent / "log" / "postgres.log"
ORDERS, PAST, PARTS = 100_000, 99_396, 10_000  # what is past fills whole plans of 18 pieces


def weekly_sums():
    """What fill.sql leaves out: the sums that triggers keep, made as the migration makes them of books that are there."""
    before = "-- What there was before these sums."
    text = (harness.SOURCE / "sql" / "migrations" / "0100_sums_by_week.sql").read_text()
    asked = (harness.SOURCE / "sql" / "migrations" / "0170_demand_as_asked.sql").read_text()
    lengths = (harness.SOURCE / "sql" / "migrations" / "0172_lengths_asked.sql").read_text()
    return ("begin; set local search_path = ellwand; truncate part_week, part_year, sent_week, cut_week, bar_week, piece_month,"
            " rack_week, open_week, asked_week, asked_length;" + text[text.index(before):text.index("-- What lies on the rack, however much")]
            + asked[asked.index(before):asked.index("-- The classes follow.")]
            + lengths[lengths.index(before):lengths.index("grant select")] + "; commit; analyze")


def fill(workshop, orders=ORDERS, past=PAST, parts=PARTS):
    """The demonstration's catalogue and bins, and the books of fill.sql."""
    small.fill(workshop)
    began = time.monotonic()
    harness.run("psql", "-qX", "-d", workshop.database, "-v", f"orders={orders}", "-v", f"past={past}", "-v", f"parts={parts}",
                "-f", HERE / "fill.sql", timeout=600)
    harness.run("psql", "-qX", "-v", "ON_ERROR_STOP=1", "-d", workshop.database, "-c", weekly_sums(), timeout=600)
    counts = workshop.sql("set search_path = ellwand; select (select count(*) from ledger), (select count(*) from job_order),"
                          " (select count(*) from part), (select count(*) from history),"
                          " pg_size_pretty(pg_database_size(current_database()))")[0].split("|")
    print("{} ledger entries, {} orders, {} parts, {} steps of history, {}".format(*counts),
          f"filled in {time.monotonic() - began:.0f} s", flush=True)


def log_size():
    return LOG.stat().st_size


def log_since(position):
    with open(LOG, "rb") as log:
        log.seek(position)
        return log.read().decode(errors="replace")


def plans(text):
    """Each plan that auto_explain wrote in JSON, as a tree."""
    for found in re.finditer(r"plan:\n((?:\t.*\n?)+)", text):
        yield json.loads(found.group(1).replace("\n\t", "\n"))


def scan_code(kind, number):
    """A scan code; its check character by ISO/IEC 7064, MOD 37-2, as label/code.h has it."""
    letters = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*"
    rest = 0
    for letter in f"{kind}{number}":
        rest = (rest + letters.index(letter)) * 2 % 37
    return f"{kind}{number}{letters[(38 - rest) % 37]}"
