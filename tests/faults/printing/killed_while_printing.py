# SPDX-License-Identifier: Apache-2.0
"""killed_while_printing.py LABELS KILLS: the daemon is killed (SIGKILL) at random moments while labels print, and started again.

Afterwards every label came out once, by its code as a decoder reads it off what the printer received; or, where nobody can be
sure, it is held and says so, and a person who has it printed again gets a reprint that is marked and has a code of its own.
None is lost. ELLWAND_SEED repeats a run.
"""
import collections
import os
import pathlib
import random
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "system"))
import demo_job  # noqa: E402  (the path is set above)
import harness  # noqa: E402
import printed  # noqa: E402


def fill(workshop, labels):
    """Bins whose labels are asked for in a few batches, printed in jobs of 5 and of 40."""
    manager, stores = workshop.client("manager"), workshop.client("stores")
    manager.ask("catalogue.import", {"catalogue": demo_job.document("catalogue.json")})
    manager.ask("bin.set", {"bins": [{"code": f"B{number}", "walk": number} for number in range(1, labels + 1)]})
    manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": ["bin"], "job_labels": 5})
    return manager, stores


def ask_for_labels(stores, manager, labels):
    half = labels * 3 // 5
    stores.ask("bin.label", {"bins": [f"B{number}" for number in range(1, half + 1)]})
    manager.ask("station.set", {"station": "labels", "queue": harness.QUEUE, "stock": "L100X50", "kinds": ["bin"], "job_labels": 40})
    stores.ask("bin.label", {"bins": [f"B{number}" for number in range(half + 1, labels + 1)]})


def open_jobs(workshop):
    return int(workshop.sql("select count(*) from ellwand.print_job where state in ('queued', 'sending', 'printing')")[0])


def kill_again_and_again(workshop, kills, chance):
    """Returns how many kills fell while labels were on their way; the rest fall when all is printed, and must do nothing."""
    under_way = 0
    for _ in range(kills):
        time.sleep(chance.choice((0.02, 0.1, 0.2, 0.4, 0.7)) * chance.random())
        assert workshop.lives(), "the daemon ended by itself"
        workshop.kill()
        under_way += open_jobs(workshop) > 0
        # The lease of the dead one would keep the next waiting for 20 s.
        workshop.sql("update ellwand.print_job set leased_until = now() where leased_until is not null")
        workshop.launch()
        if chance.random() < 0.7:
            workshop.client("desk").insist("ping", seconds=30, patience=0.1)
    return under_way


def check(workshop, labels):
    """Once each, or held as doubtful."""
    counts = collections.Counter(printed.codes_printed(workshop))
    expected = set(workshop.sql("select ellwand.spelled_code('L', id, 0) from ellwand.bin"))
    assert len(expected) == labels
    assert set(counts) <= expected, f"codes nobody asked for: {set(counts) - expected}"
    twice = [code for code, count in counts.items() if count > 1]
    assert not twice, f"printed twice without a mark: {twice}"
    doubtful = set(workshop.sql("select item ->> 'code' from ellwand.print_job, jsonb_array_elements(payload) item"
                                " where state = 'held' and unsure and message <> ''"))
    lost = expected - set(counts) - doubtful
    assert not lost, f"lost without a word: {lost}"
    sure = workshop.sql("select count(*) from ellwand.print_job, jsonb_array_elements(payload) where state = 'printed'")
    assert int(sure[0]) == labels - len(doubtful), (sure, len(doubtful))
    return doubtful, counts


def settle_doubts(workshop, saw, doubtful, before):
    """Nobody looks: all doubtful ones are printed again, and are then marked and have codes of their own."""
    for job in saw.ask("print.list", {"state": "held"})["jobs"]:
        saw.ask("print.retry", {"job": job["job"]})
    harness.until(120, "reprints", lambda: open_jobs(workshop) == 0)
    counts = collections.Counter(printed.codes_printed(workshop))
    reprints = set(workshop.sql("select ellwand.spelled_code(parts.kind, parts.id, 1) from unnest(array[" +
                                ",".join(f"'{code}'" for code in doubtful) +
                                "]::text[]) code, ellwand.code_parts(code) parts"))
    assert counts == before + collections.Counter(reprints), "reprints are not the doubtful labels, once each"


def main():
    labels, kills = int(sys.argv[1]), int(sys.argv[2])
    seed = int(os.environ.get("ELLWAND_SEED", random.SystemRandom().randrange(1 << 32)))
    print(f"seed {seed} (repeat with ELLWAND_SEED={seed})", flush=True)
    with harness.Workshop() as workshop:
        workshop.start()
        manager, stores = fill(workshop, labels)
        ask_for_labels(stores, manager, labels)
        under_way = kill_again_and_again(workshop, kills, random.Random(seed))
        saw = workshop.client("saw")
        saw.insist("ping", seconds=30)
        harness.until(240, "labels settled", lambda: open_jobs(workshop) == 0)
        doubtful, counts = check(workshop, labels)
        print(f"{labels} labels, {kills} kills, {under_way} while labels were on their way: {sum(counts.values())} came out, "
              f"each once; {len(doubtful)} are held as doubtful", flush=True)
        if doubtful:
            settle_doubts(workshop, saw, doubtful, counts)
        assert saw.ask("audit")["clean"]
        workshop.stop()


main()
