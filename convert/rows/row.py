"""The word rows of a design as values: what is strung in each row, in which direction, and how it ends.

All that word rows know of the needle's path is asked for here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from convert.rows.checkpoints import Checkpoint, find_checkpoints
from shared.design import Design
from shared.grid import Grid
from shared.orientation import Direction
from shared.plural import counted


class Run(NamedTuple):
    """Equal beads one after another."""

    beads: int
    """How many, at least 1."""
    kind: str

    def __str__(self) -> str:
        return f"{self.beads} {self.kind}"


@dataclass(frozen=True, slots=True)
class RowOfWork:
    """One line of the word rows: rows 1 and 2, strung together, or a row.

    Parameters
    ----------
    rows
        ``(1, 2)``, then ``(3,)``, ``(4,)`` …
    count
        How many beads it has.
    runs
        In needle order.
    odd_count_turn
        Whether it ends with the odd-count turn; otherwise with a plain one.
    """

    rows: tuple[int, ...]
    direction: Direction
    count: int
    runs: tuple[Run, ...]
    odd_count_turn: bool
    checkpoints: tuple[Checkpoint, ...] = ()

    @property
    def name(self) -> str:
        """``3``, or ``1+2``."""
        return "+".join(map(str, self.rows))

    @property
    def totals(self) -> Mapping[str, int]:
        """How many of each kind it takes, in the order in which they are first needed."""
        totals: dict[str, int] = {}
        for beads, kind in self.runs:
            totals[kind] = totals.get(kind, 0) + beads
        return totals


def describe_work(grid: Grid) -> str:
    """Say how large a work is, and of what kind.

    Examples
    --------
    >>> describe_work(Grid(21, 160))
    '21 columns, 160 rows, odd-count flat peyote, tail at left'
    """
    side = "left" if grid.hand == "right" else "right"
    return f"{counted(grid.columns, 'column')}, {grid.rows} rows, {grid.full_name}, tail at {side}"


def rows_of_work(design: Design) -> tuple[RowOfWork, ...]:
    """Return all lines of the word rows of a design, in the order in which they are worked."""
    grid = design.grid
    cells = design.cells[grid.needle_order]
    # All runs are found at once, where a bead differs from the one before or an entry begins, so that a large work
    # stays quick.
    starts = np.cumsum([0, *(entry.beads.size for entry in grid.entries)]).tolist()
    is_begin = np.diff(cells, prepend=-1) != 0
    is_begin[starts[:-1]] = True
    begins = np.flatnonzero(is_begin)
    kinds = [design.beads[cell].kind for cell in cells[begins].tolist()]
    runs = [Run(*run) for run in zip(np.diff(begins, append=grid.count).tolist(), kinds, strict=True)]
    stops = pairwise(np.searchsorted(begins, starts).tolist())
    checks: dict[tuple[int, ...], list[Checkpoint]] = {}
    for check in find_checkpoints(design):
        checks.setdefault(check.rows, []).append(check)
    return tuple(
        RowOfWork(
            entry.rows,
            entry.direction,
            entry.beads.size,
            tuple(runs[i:j]),
            entry.end == "odd-count",
            tuple(checks.get(entry.rows, ())),
        )
        for entry, (i, j) in zip(grid.entries, stops, strict=True)
    )
