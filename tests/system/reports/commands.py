# SPDX-License-Identifier: Apache-2.0
"""`ellwand report ..` as people type it: a table, CSV, JSON, a picture."""
import csv
import io
import pathlib
import sys

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "desk_stores"), str(HERE.parent / "purchase")]
import small  # noqa: E402  (the path is set above)
from shell import Shell  # noqa: E402

NAMES = ("stock", "rack", "yield", "metres", "shortages", "late", "dead", "use")


def check_report(shell, manager, folder, name):
    result = manager.ask(f"report.{name}")
    assert len(shell.run("report", name).splitlines()) >= len(result["rows"])
    rows = list(csv.DictReader(io.StringIO(shell.run("report", name, "--csv"))))
    assert len(rows) == len(result["rows"]), name
    for row, told in zip(rows, result["rows"]):
        for field in {"code", "part", "order", "system", "finish"} & row.keys():
            assert row[field] == told[field]
        if "value" in row:
            assert float(row["value"]) == told["value"] / 100
    draw(shell, folder / f"{name}.svg", b"<?xml")


def draw(shell, path, begin):
    shell.run("report", path.stem, "--plot", path)
    assert path.read_bytes().startswith(begin) and path.stat().st_size > 1000, path


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        workshop.client("desk").ask("order.take", small.order("A1002"))
        small.cut_order(workshop, "A1002")
        workshop.client("desk").ask("order.take", small.order("A1001"))
        small.receive(workshop.client("stores"), "LK-GLIDER", "A1", 500)
        workshop.sql("update ellwand.job_order set due = current_date - 2")
        shell = Shell(workshop)
        for name in NAMES:
            check_report(shell, workshop.client("manager"), workshop.folder, name)
        draw(shell, workshop.folder / "rack.png", b"\x89PNG")
        draw(shell, workshop.folder / "yield.pdf", b"%PDF")
        assert {row["name"] for row in shell.json("report", "yield", "--by", "system")["rows"]} == {"WREN"}
        assert len(shell.json("report", "stock", "--limit", "1")["rows"]) == 1
        assert "Those known are" in shell.run("report", "late", "--by", "week", code=1)
        assert "shortages" in shell.run("report", "nothing", code=2)
        assert ".png" in shell.run("report", "rack", "--plot", workshop.folder / "rack.txt", code=1)
        shell.run("report", "rack", "--plot", workshop.folder / "nowhere" / "rack.svg", code=6)
        workshop.stop()


main()
