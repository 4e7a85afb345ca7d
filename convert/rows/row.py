"""The entries of the word rows as values: what is stlevel in each row, and how it ends."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from convert.rows.checkpoints import Checkpoint, checkpoints
from shared.design import Design
from shared.orientation import Direction


class Run(NamedTuple):
    """Equal beads one after another."""

    beads: int
    """How many, at least 1."""
    kind: str
    """Of which bead."""

    def __str__(self) -> str:
        return f"{self.beads} {self.kind}"


@dataclass(frozen=True, slots=True)
class RowOfWork:
    """One entry of the word rows: the strand, or a row.

    Parameters
    ----------
    rows
        ``(1, 2)`` for the strand, then ``(3,)``, ``(4,)`` …
    way
        How the needle runs.
    count
        How many beads it has; none in every second row of a work one column wide.
    runs
        In needle order.
    odd_count_turn
        Whether it ends with the odd-count turn; otherwise with a plain one.
    checkpoints
        What can be counted once it is worked.
    """

    rows: tuple[int, ...]
    direction: Direction
    count: int
    runs: tuple[Run, ...]
    odd_count_turn: bool
    checkpoints: tuple[Checkpoint, ...] = ()

    @property
    def name(self) -> str:
        """``3``, ``1+2`` for the strand."""
        return "+".join(map(str, self.rows))

    @property
    def totals(self) -> Mapping[str, int]:
        """How many of each key it takes, in the order in which they are first needed."""
        totals: dict[str, int] = {}
        for beads, key in self.runs:
            totals[key] = totals.get(key, 0) + beads
        return totals


def rows_of_work(design: Design) -> tuple[RowOfWork, ...]:
    """Return all entries of a design, in the order in which they are worked.

    All runs are found at once, so that a large work stays quick.
    """
    grid = design.grid
    cells = design.cells[grid.needle_order]
    cuts = np.cumsum([0, *(entry.beads.size for entry in grid.entries)]).tolist()
    is_begin = np.diff(cells, prepend=-1) != 0
    is_begin[[cut for cut in cuts if cut < grid.count]] = True
    begins = np.flatnonzero(is_begin)
    keys = [design.beads[cell].kind for cell in cells[begins].tolist()]
    runs = [Run(*run) for run in zip(np.diff(begins, append=grid.count).tolist(), keys, strict=True)]
    stops = pairwise(np.searchsorted(begins, cuts).tolist())
    checks: dict[tuple[int, ...], list[Checkpoint]] = {}
    for check in checkpoints(design):
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
