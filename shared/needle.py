"""The needle: what it takes up in each row, every bead that it passes through, and what asks nothing else of a work.

A work of another outline, or one that is closed to a ring, is another `Lattice`: parts that read only what that names
need not know of it.
"""

from collections.abc import Sequence
from typing import Literal, NamedTuple, Protocol

import numpy as np

from shared.arrays import Bools, Floats, Ints
from shared.orientation import Direction

Turn = Literal["plain", "odd-count"]
"""How the needle comes from the end of a row to the beginning of the next."""

Begin = Literal["strung", "plain", "odd-count"]
"""How an entry begins: rows strung together at the tail, or after a turn."""


class RowEntry(NamedTuple):
    """One entry of the word rows: rows that are strung together, or a row that is stitched."""

    rows: tuple[int, ...]
    """``(1, 2)`` for those strung together, then ``(3,)``, ``(4,)`` …"""
    beads: Ints
    """In needle order."""
    direction: Direction
    """How the needle runs."""
    begin: Begin
    end: Turn

    @property
    def name(self) -> str:
        """``1+2``, ``3``, ``4`` …"""
        return "+".join(map(str, self.rows))


class NeedlePath(NamedTuple):
    """The whole way of the needle: every bead as often as it passes through it."""

    beads: Ints
    """Shape (passes,)."""
    from_tail: Bools
    """Whether it enters at the end of the hole that faces the tail side, shape (passes,)."""
    starts: Ints
    """Where each entry begins in ``beads``, and the number of all passes, shape (entries + 1,)."""
    turns: Ints
    """Where the passes of the turn at its end begin, shape (entries,)."""

    def row(self, entry: int) -> slice:
        """Return where the passes of an entry lie, by its place in the entries, without those of its turn."""
        return slice(int(self.starts[entry]), int(self.turns[entry]))

    def turn(self, entry: int) -> slice:
        """Return where the passes of the turn at its end lie; a plain turn and a knot have none."""
        return slice(int(self.turns[entry]), int(self.starts[entry + 1]))


def entry_places(entries: Sequence[RowEntry]) -> Ints:
    """Return for each bead in needle order the place of its entry, shape (beads,)."""
    return np.repeat(np.arange(len(entries)), [entry.beads.size for entry in entries])


class Problem(NamedTuple):
    """A bead that cannot be stitched where it lies."""

    row: int
    column: int
    why: str
    mends: str
    """What can be done, in words."""


class Lattice(Protocol):
    """Which beads a work has, which of them touch, and how the needle goes through them; beads are numbered from 0."""

    @property
    def count(self) -> int:
        """How many beads there are."""

    @property
    def row_of(self) -> Ints:
        """The row of each bead, shape (beads,)."""

    @property
    def column_of(self) -> Ints:
        """The column of each bead, shape (beads,)."""

    @property
    def neighbours(self) -> Ints:
        """The beads that each bead touches by `shared.grid.Contact`, -1 for none; shape (beads, 6 or 8)."""

    @property
    def entries(self) -> tuple[RowEntry, ...]:
        """What the word rows list, in the order in which it is worked."""

    @property
    def needle_order(self) -> Ints:
        """The beads of all entries one after another, shape (beads,)."""

    @property
    def needle_path(self) -> NeedlePath:
        """Every pass of the needle."""

    def centres_mm(self, length_mm: float, diameter_mm: float) -> Floats:
        """Return the centre of each slot in flat work of one size, shape (beads, 2) as x, y in mm."""

    def problems(self) -> tuple[Problem, ...]:
        """Return the beads that cannot be stitched."""


def path_of_rectangle(numbers: Ints, *, drop: int) -> NeedlePath:
    """Return the way of the needle through a full rectangle.

    Rows 1 and 2 are strung once. Each later row crosses the whole width: through each new bead, and in the columns
    between through the beads of the row before. A plain turn passes through no bead. An odd-count turn, but for the
    first, which is knotted to the tail, goes in through the bead next to the last one in its column and on through one
    more on the diagonal, back through the bead of the row before in the same column as that one, and out again. The
    last one is worked too, and locks the last bead; its way back in is a pass of the row to come.

    Parameters
    ----------
    numbers
        The bead at each row and column, -1 where there is none, shape (rows, columns).
    drop
        How many columns make a group.
    """
    rows, columns = numbers.shape
    stitched = np.arange(3, rows + 1)
    away = stitched % 2 == 0
    across = np.where(numbers[2:] >= 0, numbers[2:], numbers[1:-1])
    across[~away] = across[~away, ::-1]
    turns = np.full((len(stitched), 4 * drop), -1)
    if columns // drop % 2:
        row = np.arange(5, rows + 1, 2)
        last, inner = numbers[row - 3, :drop], slice(drop, 2 * drop)
        turns[row - 3] = np.hstack([last, numbers[row - 4, inner], numbers[row - 2, inner][:, ::-1], last[:, ::-1]])
    beads = np.hstack([across, turns])
    is_pass = beads >= 0
    from_tail = np.hstack(
        [np.broadcast_to(away[:, None], across.shape), np.tile(np.arange(4 * drop) < 2 * drop, (len(stitched), 1))]
    )
    strung = numbers[:2].max(axis=0)
    strung = strung[strung >= 0]
    starts = np.cumsum([0, strung.size, *is_pass.sum(axis=1)])
    return NeedlePath(
        np.concatenate([strung, beads[is_pass]]),
        np.concatenate([np.ones(strung.size, dtype=bool), from_tail[is_pass]]),
        starts,
        starts[1:] - np.append(0, is_pass[:, columns:].sum(axis=1)),
    )
