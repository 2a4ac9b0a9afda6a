# SPDX-License-Identifier: Apache-2.0
"""Catalogue and stock out as CSV and in again: what comes out goes in without a change, a mistake is named by line and column and
changes nothing. Python's csv module is the other reader and writer."""
import csv
import io
import threading

import small
from shell import Shell

FORMULA = "=HYPERLINK(1)"


def rows_of(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, strict=True))


def write(path, rows, line_end="\r\n"):
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0].keys(), lineterminator=line_end)
        writer.writeheader()
        writer.writerows(rows)


def check_stock(workshop, shell, stores):
    """Round trip, an edit, and stock that moved while the file was edited."""
    path = workshop.folder / "stock.csv"
    for part, bin_code, batch, quantity in (("LK-GLIDER", "A1", "", 100), ("LK-GLIDER", "A1", "B,7 \"x\"", 20), ("CORD-25", "B1", "", 12000.5),
                                            ("LK-ARM", "A2", "-1", 9), ("LK-ARM", "C1", FORMULA, 3)):
        stores.ask("stock.receive", {"lines": [{"part": part, "bin": bin_code, "batch": batch, "quantity": quantity} if batch else
                                               {"part": part, "bin": bin_code, "quantity": quantity}]})
    shell.run("stock", "export", path)
    raw = path.read_bytes()
    assert raw.startswith(b"part,name,unit,bin,batch,booked,quantity\r\n") and raw.count(b"\n") == raw.count(b"\r\n") == 6
    rows = rows_of(path)
    assert [row["batch"] for row in rows if row["part"] == "LK-ARM"] == ["'-1", "'" + FORMULA], rows
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row.values())
    assert "Nothing would change" in shell.run("stock", "import", path, "--dry-run")
    ledger = workshop.sql("select count(*) from ellwand.ledger")
    assert "Nothing changes" in shell.run("stock", "import", path, "--reason", "again")
    assert workshop.sql("select count(*) from ellwand.ledger") == ledger, "a round trip booked something"
    assert shell.run("stock", "export") == raw.decode().replace("\r\n", "\n"), "standard output and file differ"
    rows[0]["quantity"] = "12000.5" if rows[0]["part"] == "CORD-25" else rows[0]["quantity"]
    for row in rows:
        if row["part"] == "LK-ARM" and row["bin"] == "A2":
            row["quantity"] = "7"
    write(path, rows, "\n")
    stores.ask("stock.move", {"lines": [{"part": "LK-ARM", "batch": "-1", "from": "A2", "to": "B1", "quantity": 4}]})
    told = shell.run("stock", "import", path, "--dry-run")
    assert "So much would change in 1 places" in told and " 5 " in told.replace("\n", " ") and " 3" in told, told
    assert workshop.sql("select count(*) from ellwand.ledger where kind = 'adjustment'") == ["0"], "a dry run booked something"
    assert "Booked: 1" in shell.run("stock", "import", path, "--reason", "two were bent")
    held = {(place["bin"], place["batch"]): place["on_hand"] for place in small.stock_of(stores, "LK-ARM")["bins"]}
    assert held[("A2", "-1")] == 3 and held[("B1", "-1")] == 4, held
    entry = stores.ask("stock.ledger", {"part": "LK-ARM"})["entries"][0]
    assert (entry["kind"], entry["quantity"], entry["reason"]) == ("adjustment", -2, "two were bent")


WRONG_STOCK = [
    ("part,bin,quantity\r\nLK-ARM,A1,many\r\n", "line 2, column quantity"),
    ("part,bin,quantity\r\nLK-ARM,A1,5\r\n\r\nLK-ARMS,A1,5\r\n", "line 4, column part"),
    ("part,bin,quantity\r\nLK-ARM,Z9,5\r\n", "line 2, column bin"),
    ("part,bin,quantity\r\nLK-ARM,A1,5\r\nLK-GLIDER,A1,2.5\r\n", "line 3, column quantity"),
    ("part,bin,batch,quantity\r\nLK-ARM,A1,\"two\r\nlines\",5\r\nLK-ARM,,,5\r\n", "line 4, column bin"),
    ("part,bin,quantity\r\nLK-ARM,A1,5\r\nLK-ARM,A1,6\r\n", "line 2, column part"),
    ("part,bin,quantity\r\nLK-ARM,A1,-5\r\n", "line 2, column quantity"),
    ("part,bin,quantity,booked\r\nLK-ARM,A1,0,900\r\n", "line 2, column quantity"),
    ("part,bin,quantity\r\nLK-ARM,A1\r\n", "line 2"),
    ("part,bin,quantity\r\nLK-ARM,A1,5,6\r\n", "line 2"),
    ("part,bin,quantity\r\nLK-\"ARM,A1,5\r\n", "line 2"),
    ("part,bin,quantity,colour\r\nLK-ARM,A1,5,red\r\n", "colour"),
    ("part,bin\r\nLK-ARM,A1\r\n", "quantity"),
    ("part,part,bin,quantity\r\n", "line 1, column 2"),
    ("", "line 1"),
]


def check_wrong(workshop, shell):
    """Each mistake is named by its place and nothing is booked, not even of the lines that are right."""
    path = workshop.folder / "wrong.csv"
    before = workshop.sql("select count(*), max(id) from ellwand.ledger")
    for text, place in WRONG_STOCK:
        path.write_bytes(b"\xef\xbb\xbf" + text.encode() if text else b"")
        told = shell.run("stock", "import", path, "--reason", "x", code=1)
        assert place in told, (text, told)
    path.write_bytes(b"part,bin,quantity\r\nLK-\xff,A1,5\r\n")
    assert "UTF-8" in shell.run("stock", "import", path, "--reason", "x", code=1)
    shell.run("stock", "import", path, code=2)
    shell.run("stock", "import", workshop.folder / "none.csv", "--dry-run", code=1)
    assert workshop.sql("select count(*), max(id) from ellwand.ledger") == before
    path.write_text("part,bin,quantity\n" + "".join(f"LK-ARM,A{i},1\n" for i in range(200001)))
    assert "200000 rows" in shell.run("stock", "import", path, "--dry-run", code=1)


def check_long(workshop, manager):
    """More lines than go to the store at once: what the last one does wrong undoes all that went before."""
    lines = [{"part": "LK-ARM", "bin": "A1", "batch": f"L{i}", "quantity": 1 + i % 3} for i in range(4100)]
    before = workshop.sql("select count(*) from ellwand.ledger")
    body = {"reason": "first list", "lines": lines}
    error = small.refused(lambda: manager.ask("stock.import", dict(body, lines=lines + [lines[7]])), "twice-named")
    assert error.where == "lines[7].part", error.where
    bad = dict(lines[7], quantity=1.5, batch="M")
    error = small.refused(lambda: manager.ask("stock.import", dict(body, lines=lines + [bad])), "out-of-range")
    assert error.where == "lines[4100].quantity", error.where
    assert workshop.sql("select count(*) from ellwand.ledger") == before
    dry = manager.ask("stock.import", {"dry_run": True, "lines": lines})
    assert (dry["lines"], dry["changed"], len(dry["changes"])) == (4100, 4100, 1000), dry["changed"]
    assert dry["changes"][999]["place"] == 999


def check_catalogue(workshop, shell, manager):
    """Every table comes out and goes in without a change; an edit says which field changes."""
    before = manager.ask("catalogue.export")
    for table in ("parts", "bars", "suppliers", "finishes", "substrates", "headings", "saws", "label_stocks"):
        path = workshop.folder / f"{table}.csv"
        shell.run("catalogue", "export", path, "--table", table)
        assert "Nothing changes" in shell.run("catalogue", "import", path, "--table", table, "--dry-run"), table
        shell.run("catalogue", "import", path, "--table", table)
    assert manager.ask("catalogue.export") == before, "the catalogue is another after a round trip"
    parts = workshop.folder / "parts.csv"
    rows = rows_of(parts)
    rows[0]["price"] = "96"
    rows[0]["name"] = FORMULA
    write(parts, rows)
    told = shell.run("catalogue", "import", parts, "--dry-run")
    code = rows[0]["code"]
    assert f"{code}: price from 95 to 96" in told and f'{code}: name from' in told, told
    assert manager.ask("catalogue.export") == before, "a dry run changed something"
    shell.run("catalogue", "import", parts)
    assert manager.ask("catalogue.export")["parts"][0]["name"] == FORMULA
    shell.run("catalogue", "export", parts)
    assert rows_of(parts)[0]["name"] == "'" + FORMULA
    for change, place in (({"price": "dear"}, "line 3, column price"), ({"supplier": "NOBODY"}, "line 3, column supplier"),
                          ({"role": "gadget"}, "line 3, column role"), ({"substitutes": '[{"part": "NONE"}]'}, "line 3, column substitutes")):
        rows = rows_of(parts)
        rows[1].update(change)
        write(parts, rows)
        assert place in shell.run("catalogue", "import", parts, code=1), change
        shell.run("catalogue", "export", parts)
    bars = rows_of(workshop.folder / "bars.csv")
    bars[0]["length"] = "long"
    write(workshop.folder / "bars.csv", bars)
    assert "line 2, column length" in shell.run("catalogue", "import", workshop.folder / "bars.csv", "--table", "bars", code=1)
    shell.run("catalogue", "export", "--table", "systems", code=2)
    small.refused(lambda: manager.ask("catalogue.import", {"tables": {"systems": []}}), "unknown-field")
    small.refused(lambda: manager.ask("catalogue.import", {}), "missing-field")


def check_two_at_once(workshop):
    """Two managers bring in different tables at once: neither loses what the other changed."""
    managers = [workshop.client("manager") for _ in range(2)]
    document = managers[0].ask("catalogue.export")
    suppliers = [dict(row, lead_days=row["lead_days"] + 1) for row in document["suppliers"]]
    finishes = [dict(row, name=row["name"] + " x") for row in document["finishes"]]
    threads = [threading.Thread(target=lambda client, tables: client.insist("catalogue.import", {"tables": tables}), args=pair)
               for pair in zip(managers, ({"suppliers": suppliers}, {"finishes": finishes}))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    after = managers[0].ask("catalogue.export")
    assert after["suppliers"] == suppliers and after["finishes"] == finishes


def check_many(shell, workshop):
    """A table of many lines goes in at once."""
    path = workshop.folder / "many.csv"
    text = io.StringIO()
    text.write("part,bin,batch,quantity\n")
    for number in range(5000):
        text.write(f"OV-SCREW,C1,L{number},{number % 7 + 1}\n")
    path.write_text(text.getvalue())
    assert "Booked: 5000" in shell.run("stock", "import", path, "--reason", "counted by weight", "--timeout", "60")
    assert "Nothing would change" in shell.run("stock", "import", path, "--dry-run", "--timeout", "60")


def main():
    with small.harness.Workshop() as workshop:
        workshop.start()
        small.fill(workshop, stations=())
        shell, manager = Shell(workshop), workshop.client("manager")
        check_stock(workshop, shell, workshop.client("stores"))
        check_wrong(workshop, shell)
        check_catalogue(workshop, shell, manager)
        check_two_at_once(workshop)
        check_many(shell, workshop)
        check_long(workshop, manager)
        small.assert_clean(manager)
        workshop.stop()


main()
