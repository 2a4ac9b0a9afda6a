# SPDX-License-Identifier: Apache-2.0
"""Reorder points over the wire: the terms of the catalogue, classes, weeks that the workshop was shut, and the stock to come."""
import datetime
import pathlib
import sys

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / "desk_stores"))
import small  # noqa: E402  (the path is set above)
from shell import Shell  # noqa: E402
from small import refused  # noqa: E402

TODAY = datetime.datetime.now(datetime.timezone.utc).date()
MONDAY = TODAY - datetime.timedelta(days=TODAY.weekday())


def history(workshop, part, weeks):
    """Makes the sums say that so many were asked for in each whole week past, the last week last; other weeks the workshop was shut."""
    rows = [(len(weeks) - i, asked) for i, asked in enumerate(weeks)]
    workshop.sql("set session_replication_role = replica; set search_path = ellwand;"
                 f" delete from asked_week where part = (select id from part where code = '{part}');"
                 f" insert into asked_week (part, week, asked) select id, week_of(now()) - 7 * back, asked from part,"
                 f" (values {', '.join(f'({back}, {asked or 0})' for back, asked in rows)}) as told (back, asked) where code = '{part}';"
                 f" insert into open_week select 1, week_of(now()) - 7 * back from (values"
                 f" {', '.join(f'({back})' for back, asked in rows if asked is not None)}) as told (back) on conflict do nothing;"
                 f" select reckon_classes(1)")


def line_of(manager, code, **body):
    return next(line for line in manager.ask("reorder.list", body)["lines"] if line["code"] == code)


def check_terms(workshop, manager):
    """1000 gliders and more cost 8 instead of 9; they come in hundreds; cord in 50 m at least."""
    history(workshop, "LK-GLIDER", [400, 380, 420, None, None, 410, 390, 400])
    line = line_of(manager, "LK-GLIDER")
    assert (line["weeks"], line["weekly"], line["class"], line["service"]) == (6, 400, "A", 0.98), line
    assert line["buy"] % 100 == 0 and line["buy"] >= 1000 and line["price"] == 8, line
    assert "2 more the workshop was shut" in line["why"] and f"in {line['buy'] // 100} packs of 100" in line["why"], line["why"]
    assert line_of(manager, "LK-GLIDER", service=0.5)["reorder_point"] < line["reorder_point"]
    assert line_of(manager, "LK-GLIDER", service={"A": 0.5, "B": 0.6, "C": 0.7})["service"] == 0.5
    refused(lambda: manager.ask("reorder.list", {"service": {"A": 0.5, "B": 0.6}}), "missing-field")
    history(workshop, "CORD-25", [0, 0, 90000, 0, 0, 0, 90000])
    line = line_of(manager, "CORD-25")
    assert line["buy"] >= 50000 and line["buy"] % 1000 == 0 and line["class"] in "BC" and line["law"] == "empirical", line


def check_pages(manager):
    whole = manager.ask("reorder.list", {"limit": 1000})
    assert whole["next"] is None
    lines, after = [], None
    while True:
        page = manager.ask("reorder.list", {"limit": 7, **({} if after is None else {"after": after})})
        assert len(page["lines"]) <= 7
        lines += page["lines"]
        after = page["next"]
        if after is None:
            break
    assert lines == whole["lines"] and len(lines) > 40


def check_bars(manager):
    """Pieces in no plan call for bars, at once: in packs of 5, at least 10."""
    line = line_of(manager, "WREN WH 6000")
    assert (line["on_hand"], line["supplier"], line["lead_from"], line["lead_days"]) == (0, "ORMEROD", "catalogue", 15), line
    pieces = sum(piece["length"] for window in manager.ask("order.show", {"order": "A1002"})["windows"]
                 for piece in window["pieces"] if window["finish"] == "WH")
    assert (line["wanted"], line["buy"]) == (-(-pieces // 6000), 10), (line, pieces)
    assert not [line for line in manager.ask("reorder.list")["lines"] if line["code"] == "WREN WH 5000"], "nothing calls for these"


def check_proposal(manager):
    """What an order lacks of the supplier's least one is told."""
    purchases = {entry["supplier"]: entry for entry in manager.ask("purchase.propose")["purchases"]}
    for entry in purchases.values():
        shown = manager.ask("purchase.show", {"purchase": entry["purchase"]})
        assert entry["cost"] == shown["cost"], entry
        assert entry.get("below_least", 0) == max(0, entry.get("least_order", 0) - entry["cost"]), entry
    assert purchases["ORMEROD"]["least_order"] == 40000
    return purchases


def check_projection(workshop, manager, purchases):
    """What is on hand, ordered, due and to be expected, week by week; the list and the report tell the same."""
    purchase = manager.ask("purchase.order", {"purchase": purchases["DUNMORE"]["purchase"], "expected": str(MONDAY + datetime.timedelta(days=16))})
    coming = next(line["quantity"] for line in purchase["lines"] if line["code"] == "LK-GLIDER")
    workshop.sql(f"update ellwand.job_order set due = '{MONDAY + datetime.timedelta(days=9)}' where number = 'A1001'")
    line, report = line_of(manager, "LK-GLIDER"), manager.ask("report.projection", {"part": "LK-GLIDER"})
    rows = report.pop("rows")
    assert report == line and len(rows) == 26
    assert [row["week"] for row in rows] == [str(MONDAY + datetime.timedelta(days=7 * i)) for i in range(26)]
    assert [row["coming"] for row in rows] == [coming if i == 2 else 0 for i in range(26)]
    assert rows[1]["ordered"] == line["wanted"] > 0 and line["wanted_hard"] == 0, rows[1]
    stock = line["on_hand"]
    for row in rows:
        stock += row["coming"] - max(row["ordered"], row["forecast"])
        assert abs(stock - row["stock"]) < 0.3, row
    below = next(row["week"] for row in rows if row["stock"] < line["safety_stock"])
    out = next(row["week"] for row in rows if row["stock"] < 0)
    assert (line["below_safety"], line["runs_out"]) == (below, out)
    assert f"runs out in the week of {out}" in line["why"], line["why"]
    assert below == out or f"below its safety stock in the week of {below}" in line["why"], line["why"]
    bars = manager.ask("report.projection", {"system": "WREN", "finish": "WH", "length": "6 m", "weeks": 3})
    assert len(bars["rows"]) == 3 and bars["code"] == "WREN WH 6000"
    refused(lambda: manager.ask("report.projection", {"part": "LK-GLIDER", "system": "WREN", "finish": "WH", "length": 6000}), "one-of-two")
    refused(lambda: manager.ask("report.projection"), "one-of-two")
    refused(lambda: manager.ask("report.projection", {"part": "NONE"}), "not-found")


def check_hard(workshop, manager):
    """Once the track of an order is released, what its kits want is hard."""
    before = line_of(manager, "LK-GLIDER")
    small.release_plans(workshop, "A1001", bars=3)
    after = line_of(manager, "LK-GLIDER")
    assert (after["wanted"], after["wanted_hard"]) == (before["wanted"], before["wanted"]), after


def check_command(workshop):
    shell = Shell(workshop)
    assert "runs out in the week of" in " ".join(shell.run("report", "projection", "--part", "LK-GLIDER").split())
    path = workshop.folder / "projection.svg"
    shell.run("report", "projection", "--part", "LK-GLIDER", "--plot", path)
    assert path.stat().st_size > 10000
    assert len(shell.json("report", "projection", "--system", "LARK", "--finish", "WH", "--length", "6 m", "--weeks", "4")["rows"]) == 4
    assert "LK-GLIDER" in shell.run("reorder", "--all", "--service", "0.9,0.8,0.7")
    shell.run("reorder", "--service", "0.9,0.8", code=2)


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        desk, manager = workshop.client("desk"), workshop.client("manager")
        desk.ask("order.take", small.order("A1002"))
        desk.ask("order.take", small.order("A1001"))
        check_terms(workshop, manager)
        check_pages(manager)
        check_bars(manager)
        purchases = check_proposal(manager)
        check_projection(workshop, manager, purchases)
        check_hard(workshop, manager)
        check_command(workshop)
        workshop.stop()


main()
