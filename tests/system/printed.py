# SPDX-License-Identifier: Apache-2.0
"""What came out of a printer program: its pages, and the codes on them as an independent decoder reads them."""
import pathlib
import re
import tempfile

import harness

# The corner of a label 100 x 50 mm that its Data Matrix symbol lies in, in dots of 300 dpi.
CORNER = ("-x", "0", "-y", "0", "-W", "236", "-H", "236")


def codes_in(document, *, corner=CORNER):
    """The codes of the pages of a PDF in order, read off a picture of each page by dmtxread (ISO/IEC 16022)."""
    with tempfile.TemporaryDirectory() as folder:
        harness.run("pdftoppm", "-r", "300", "-gray", "-png", *corner, document, f"{folder}/page")
        pages = sorted(pathlib.Path(folder).glob("*.png"))
        assert pages, f"{document} has no pages"
        # One call reads all pictures; a page without a readable code would go unnoticed but for the count.
        found = harness.run("dmtxread", "-n", "-N1", "-m2000", *pages).split()
    assert len(found) == len(pages), f"{document}: {len(found)} codes on {len(pages)} pages: {found}"
    return found


def documents(workshop, folder=harness.PRINTER):
    """What was printed for the workshop: (number of its print job, attempt, path), in the order of the printer."""
    found = []
    for path in folder.joinpath("out").glob(f"*-ellwand-{workshop.name}-*.prn"):
        if path.stat().st_size == 0:
            continue  # given up before anything came out
        number, job, attempt = re.fullmatch(rf"(\d+)-ellwand-{workshop.name}-(\d+)-(\d+).*", path.stem).groups()
        found.append((int(number), int(job), int(attempt), path))
    return [(job, attempt, path) for _, job, attempt, path in sorted(found)]


def codes_printed(workshop, folder=harness.PRINTER):
    """Every code that came out for the workshop, in order."""
    return [code for _, _, path in documents(workshop, folder) for code in codes_in(path)]
