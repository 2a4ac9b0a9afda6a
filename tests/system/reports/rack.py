# SPDX-License-Identifier: Apache-2.0
"""The rack: found by length and batch, its places counted, and what to clear out."""
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "desk_stores"), str(HERE.parent / "purchase")]
import small  # noqa: E402  (the path is set above)
from shell import Shell  # noqa: E402
from small import refused  # noqa: E402

LARK = {"system": "LARK", "finish": "WH"}


def add(saw, length, **more):
    return saw.ask("rack.add", dict(LARK, kind="offcut", length=length, **more))["bars"][0]["bar"]


def check_list(saw):
    """The shortest that is long enough comes first, page by page."""
    lengths = [2400, 900, 1500, 1500, 3100, 700]
    bars = [add(saw, length, batch=str(length % 2 + length // 2000), place=f"R{i}") for i, length in enumerate(lengths)]
    asked = {"kind": "offcut", "by": "length", "longer": 900, "shorter": 2400}
    whole = saw.ask("rack.list", asked)["bars"]
    assert [bar["length"] for bar in whole] == [900, 1500, 1500, 2400]
    assert [bar["bar"] for bar in whole] == [bars[1], bars[2], bars[3], bars[0]]
    paged, after = [], None
    while after is not None or not paged:
        page = saw.ask("rack.list", dict(asked, limit=1, **({"after": after} if after else {})))
        paged += page["bars"]
        after = page["next"]
    assert paged == whole
    assert [bar["bar"] for bar in saw.ask("rack.list", {"kind": "offcut"})["bars"]] == sorted(bars)
    assert {bar["length"] for bar in saw.ask("rack.list", {"kind": "offcut", "batch": "1"})["bars"]} == {2400, 3100}
    refused(lambda: saw.ask("rack.list", {"state": "cut", "by": "length"}), "out-of-range")
    return bars


def check_places(workshop, saw, bars):
    workshop.sql(f"update ellwand.workshop set rack_places = {len(bars) + 1}")
    add(saw, 800)
    assert "rack.clear-out" in refused(lambda: add(saw, 800), "rack-full").message
    add(saw, 850, place="on the wall")
    saw.ask("rack.add", dict(LARK, kind="bar", length=6000))
    totals = saw.ask("report.rack")["totals"]
    assert (totals["places"], totals["offcuts"], totals["free"]) == (len(bars) + 1, len(bars) + 2, 0), totals


def check_clear_out(workshop, manager, saw, bars):
    """A year in which only pieces of 1450 mm were cut: the offcuts of 1500 mm serve, most others do not; nothing young goes."""
    assert manager.ask("rack.clear-out")["rows"] == [], "nothing was ever cut, so nothing is known"
    workshop.sql("set search_path = ellwand; insert into piece_month select 1, 'LARK', 'WH', month_of(now() - interval '3 months'), 14500,"
                 " false, 20; insert into cut_week (workshop, system, finish, saw, week, bars, bars_length, pieces_length, scrap_length)"
                 " select 1, 'LARK', 'WH', 'BENCH', week_of(now()) - 300, 5, 300000, 290000, 10000;"
                 " set session_replication_role = replica; update bar set arrived_at = now() - interval '200 days'"
                 f" where id in ({', '.join(map(str, bars))})")
    report = manager.ask("rack.clear-out", {"all": True})
    rows = {row["bar"]: row for row in report["rows"]}
    assert len(rows) == len(bars) + 2 and report["totals"]["offcuts"] == len(rows)
    assert rows[bars[2]]["chance"] > 0.9 and not rows[bars[2]]["clear"], rows[bars[2]]
    for short in (bars[1], bars[5]):  # too short for any piece that was cut
        assert (rows[short]["chance"], rows[short]["clear"]) == (0, True), rows[short]
    assert rows[bars[4]]["chance"] > 0.5, "1650 mm of 3100 go back on the rack"
    assert [row["clear"] for row in report["rows"]] == sorted((row["clear"] for row in rows.values()), reverse=True)
    for row in rows.values():
        assert not row["clear"] or row["age_days"] >= 90
        assert abs(row["keep"] - row["chance"] * row["value"]) <= 0.51 and row["cost"] == 50, row
    proposed = [row["bar"] for row in manager.ask("rack.clear-out")["rows"]]
    assert sorted(proposed) == sorted(bar for bar, row in rows.items() if row["clear"])
    assert manager.ask("rack.clear-out", {"place_cost": 0})["rows"] == [] and manager.ask("rack.clear-out", {"age": 201})["rows"] == []
    first = manager.ask("rack.clear-out", {"limit": 1})
    assert [row["bar"] for row in first["rows"]] == proposed[:1] and first["next"] == 1
    assert manager.ask("rack.clear-out", {"limit": 1, "after": 1})["rows"][0]["bar"] == proposed[1]
    totals = report["totals"]
    assert totals["value"] == sum(rows[bar]["value"] for bar in proposed) and totals["length"] == sum(rows[bar]["length"] for bar in proposed)
    refused(lambda: workshop.client("desk").ask("rack.clear-out"), "not-allowed")
    # The manager agrees by the verb that there is.
    manager.ask("rack.write-off", {"bar": proposed[0], "reason": "cleared out"})
    assert proposed[0] not in [row["bar"] for row in manager.ask("rack.clear-out")["rows"]]
    return proposed


def check_command(workshop, proposed):
    shell = Shell(workshop)
    told = shell.run("rack", "clear-out")
    assert f"F{proposed[1]}" in told and "to clear" in told, told
    assert "chance of" in " ".join(shell.run("rack", "clear-out", "--all", "--why").split())
    shell.run("rack", "clear-out", "--weeks", "many", code=2)
    assert "900 " not in shell.run("rack", "list", "--longer", "1 m", "--shorter", "2 m", "--by", "length")


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        saw, manager = workshop.client("saw"), workshop.client("manager")
        bars = check_list(saw)
        check_places(workshop, saw, bars)
        proposed = check_clear_out(workshop, manager, saw, bars)
        check_command(workshop, proposed)
        workshop.stop()


main()
