"""Booklets for tests: designs of every kind, and the text of a PDF."""

import shutil
import subprocess
from functools import cache

import numpy as np
from strategies import SIZES, bead_of

from convert.documents.booklet.booklet import booklet_pdf
from convert.documents.booklet.choices import BookletChoices
from shared.design import Design
from shared.grid import Grid


def random_design(columns, rows, *, kinds=4, seed=1, title="Tide pool", name="sand", domes=False, **turned):
    """Beads of random colours; with domes, two larger sizes in the middle."""
    grid = Grid(columns, rows, **turned)
    cells = np.random.default_rng(seed).integers(0, kinds, grid.count)
    beads = [bead_of(place, 0, name) for place in range(kinds)]
    if domes:
        beads += [bead_of(0, 1, name), bead_of(1, 2, name)]
        far = np.hypot((grid.row_of - rows / 2) / 2, grid.column_of - columns / 2)
        cells = np.where(far < 3, kinds, cells)
        cells = np.where(far < 1.6, kinds + 1, cells)
    return Design(title, grid, SIZES, tuple(beads), cells)


def repeated_design(*, first_rows=3, period=16, rows=72, end=0, columns=9, kinds=3, **turned):
    """First rows, whole repeats, a part of one, and last rows."""
    grid = Grid(columns, rows, **turned)
    random = np.random.default_rng(5)
    ground = random.integers(0, kinds, (rows + 1, columns + 1))
    source = np.arange(rows + 1)
    inside = (source > first_rows) & (source <= rows - end)
    source = np.where(inside, first_rows + 1 + (source - first_rows - 1) % period, source)
    cells = ground[source[grid.row_of], grid.column_of]
    return Design("Rounds", grid, SIZES, tuple(bead_of(place, 0) for place in range(kinds)), cells)


KINDS = {
    "odd": lambda: random_design(9, 40),
    "even, left-handed": lambda: random_design(10, 31, hand="left"),
    "from the bottom": lambda: random_design(7, 24, start="bottom", title="Маяк · Φάρος · Łódź"),
    "two-drop": lambda: random_design(12, 30, drop=2),
    "two-drop, odd, left": lambda: random_design(10, 30, drop=2, hand="left", start="bottom"),
    "repeat": repeated_design,
    "repeat with ends": lambda: repeated_design(first_rows=5, period=8, rows=64, end=3, columns=8),
    "long rows": lambda: random_design(61, 12, kinds=9),
    "long names": lambda: random_design(
        8, 12, kinds=2, name=("a grey that is neither that of slate nor that of rain " * 3).strip()
    ),
    "two columns": lambda: random_design(2, 9),
    "domes": lambda: random_design(15, 44, domes=True),
}


@cache
def pdf_of(kind, **choices):
    """Return the booklet of a kind of design."""
    return booklet_pdf(KINDS[kind](), BookletChoices(**choices))


def text_of(pdf, folder, *, layout=False):
    """Return what poppler's pdftotext reads, page by page."""
    path = folder / "booklet.pdf"
    path.write_bytes(pdf)
    command = [shutil.which("pdftotext"), *(["-layout"] if layout else []), str(path), "-"]
    text = subprocess.run(command, capture_output=True, text=True, check=True, encoding="utf-8").stdout
    return text.split("\f")[:-1]
