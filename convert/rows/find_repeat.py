"""The repeat of a design: rows that come round again, with what stands before and after them.

Rows are compared bead for bead. Rows that hold other columns differ, so that every period is even and the needle
runs the same way.
"""

from itertools import pairwise
from typing import NamedTuple

from convert.rows.periods import long_repetitions
from shared.design import Design

STRAND = 2
"""Rows 1 and 2 are one entry, so they are always written out and nothing can refer to them."""


class Repeat(NamedTuple):
    """Rows that come round again; all but the first three fields follow from those."""

    first_rows: int
    """How many rows come before the first round."""
    period: int
    """How many rows a round has; even."""
    end: int
    """How many rows come after the last round, whole or not."""
    rows: int
    """R, the rows of the work."""

    @property
    def first(self) -> int:
        """First row of the first round."""
        return self.first_rows + 1

    @property
    def last(self) -> int:
        """Last row of the first round."""
        return self.first_rows + self.period

    @property
    def rounds(self) -> int:
        """How many whole rounds there are, at least 2."""
        return (self.rows - self.first_rows - self.end) // self.period

    @property
    def partial(self) -> int:
        """How many rows of one round more come after the whole ones; fewer than ``period``."""
        return (self.rows - self.first_rows - self.end) % self.period

    def source_of(self, row: int) -> int:
        """Return the row of the first round that a row of any round is like; other rows are like themselves.

        Examples
        --------
        >>> Repeat(foundation=3, period=16, end=0, rows=67).source_of(20)
        4
        """
        in_rounds = self.first <= row <= self.rows - self.end
        return self.first + (row - self.first) % self.period if in_rounds else row


def find_repeat(design: Design, *, strand: bool = False) -> Repeat | None:
    """Find the repeat with which the fewest rows have to be told: foundation, one round and last rows.

    Parameters
    ----------
    design
        Any.
    strand
        Whether a round may hold rows 1 and 2. Word rows cannot refer to them, a wrist length can.

    Returns
    -------
    Repeat
        At least two whole rounds that are, with a partial one after them, more than half of the rows: plain ground
        at one end is no repeat. Of several that leave equally few rows to tell, the one with the shorter foundation,
        then the one with the shorter round. None where there is none.
    """
    rows = design.grid.rows
    skipped = 0 if strand else STRAND
    found = (
        Repeat(skipped + one.first, one.period, rows - skipped - one.first - one.length, rows)
        for one in long_repetitions(row_numbers(design)[skipped:])
        if 2 * one.length > rows
    )
    return min(found, key=lambda repeat: (repeat.first_rows + repeat.period + repeat.end, *repeat), default=None)


def row_numbers(design: Design) -> list[int]:
    """Return a number for each row, alike where two rows hold the same beads on the same columns."""
    grid = design.grid
    cells, bytes_each = design.cells.tobytes(), design.cells.itemsize
    ends = (bytes_each * edge for edge in grid.row_edges)
    seen: dict[tuple[bool, bytes], int] = {}
    return [
        seen.setdefault((bool(row % 2), cells[start:end]), len(seen)) for row, (start, end) in enumerate(pairwise(ends))
    ]
