"""Designs whose rows come again and again, and a search of all repeats that shares nothing with the project's."""

from dataclasses import replace

import numpy as np
from strategies import SIZES, bead_of

from shared.design import Design
from shared.grid import Grid


def repeated(grid, *, first_rows, period, end=0, kinds=3, seed=0, level=0):
    """A design of random rows, of which those between first and last rows come again and again."""
    rng = np.random.default_rng(seed)
    rows = {}
    for row in range(1, grid.rows + 1):
        inside = first_rows < row <= grid.rows - end
        source = first_rows + 1 + (row - first_rows - 1) % period if inside else row
        rows[row] = rows[source] if source < row else rng.integers(0, kinds, grid.rule_of(row).beads)
    beads = tuple(bead_of(colour, level) for colour in range(kinds))
    return Design("Tide pool", grid, SIZES, beads, np.concatenate([rows[row] for row in sorted(rows)]))


def best_repeat(design, *, from_row_1):
    """(first rows, period, end) with the fewest rows to tell, by trying all of them; None where there is none."""
    grid = design.grid
    held = {}
    for bead, cell in enumerate(design.cells.tolist()):
        held.setdefault(int(grid.row_of[bead]), {})[int(grid.column_of[bead])] = cell
    rows = [held.get(row, {}) for row in range(1, grid.rows + 1)]
    best = None
    for first_rows in range(0 if from_row_1 else 2, grid.rows):
        for period in range(2, grid.rows + 1, 2):
            end = grid.rows
            while end - first_rows > period and any(
                rows[row] != rows[row - period] for row in range(first_rows + period, end)
            ):
                end -= 1
            length = end - first_rows
            if length >= 2 * period and 2 * length > grid.rows:
                found = (first_rows + period + grid.rows - end, first_rows, period, grid.rows - end)
                best = min(best or found, found)
    return best and best[1:]


def plain(columns, rows):
    grid = Grid(columns, rows)
    return Design("Sea wall", grid, SIZES, (bead_of(0, 0),), np.zeros(grid.count, np.int64))


def any_work(rng, *, most_columns=12, most_rows=40):
    """A design with or without a repeat, of any width, hand, start and drop; half of them in two sizes next in size."""
    drop = int(rng.integers(1, 3))
    grid = Grid(
        drop * int(rng.integers(2, most_columns // drop + 1)),
        int(rng.integers(2, most_rows + 1)),
        str(rng.choice(["right", "left"])),
        str(rng.choice(["top", "bottom"])),
        drop,
    )
    first_rows, period = int(rng.integers(0, 5)), 2 * int(rng.integers(1, 10))
    work = repeated(
        grid,
        first_rows=first_rows,
        period=period,
        end=int(rng.integers(0, 4)),
        kinds=4,
        seed=int(rng.integers(0, 2**32)),
    )
    level = int(rng.integers(0, 4))
    other = min(3, level + int(rng.integers(0, 2)))
    beads = tuple(
        replace(bead_of(colour, size), source="coast")
        for colour, size in enumerate(rng.permutation([level, level, other, other]).tolist())
    )
    return replace(work, title="Tide pool cuff", beads=beads, provenance={"picture": "tide-pool.png"})


def as_rows_carry_it(design):
    """The design without what word rows leave out."""
    return replace(design, beads=tuple(replace(bead, source="") for bead in design.beads), provenance={})
