"""The repeat of a design: rows that come again and again, with what stands before and after them.

Rows are compared bead for bead. Rows that hold other columns differ, so that every period is even and the needle
runs in the same direction.

A repeat must fill more than half of the work, so it holds the middle row: Z functions on both sides of the middle find
all such stretches in linear time (M. G. Main, R. J. Lorentz, "An O(n log n) algorithm for finding all repetitions in a
string", Journal of Algorithms 5, 1984: the step that finds what crosses one place).
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from shared.design import Design

STRUNG = 2
"""Rows 1 and 2 are strung together as one, so they are always written out and nothing can refer to them."""


class Repeat(NamedTuple):
    """Rows that come again and again; all but the first three fields follow from those."""

    first_rows: int
    """How many rows come before the repeat."""
    period: int
    """How many rows one repeat has; even."""
    end: int
    """How many rows come after the last repeat, whole or not."""
    rows: int

    @property
    def first(self) -> int:
        """First row of the first repeat."""
        return self.first_rows + 1

    @property
    def last(self) -> int:
        """Last row of the first repeat."""
        return self.first_rows + self.period

    @property
    def times(self) -> int:
        """How many whole repeats there are, at least 2."""
        return (self.rows - self.first_rows - self.end) // self.period

    @property
    def partial(self) -> int:
        """How many rows of one repeat more come after the whole ones; fewer than ``period``."""
        return (self.rows - self.first_rows - self.end) % self.period

    def __str__(self) -> str:
        return f"rows {self.first} to {self.last} are one repeat of {self.period} rows"

    def source_of(self, row: int) -> int:
        """Return the row of the first repeat that a row of any repeat is like; other rows are like themselves.

        Examples
        --------
        >>> Repeat(first_rows=3, period=16, end=0, rows=67).source_of(20)
        4
        """
        is_repeated = self.first <= row <= self.rows - self.end
        return self.first + (row - self.first) % self.period if is_repeated else row


def find_repeat(design: Design, *, from_row_1: bool = False) -> Repeat | None:
    """Find the repeat with which the fewest rows have to be told: first rows, one repeat and last rows.

    Parameters
    ----------
    from_row_1
        Whether a repeat may hold rows 1 and 2. Word rows cannot refer to them, a wrist length can.

    Returns
    -------
    Repeat
        At least two whole repeats that are, with a partial one after them, more than half of the rows: plain ground
        at one end is no repeat. Of several that leave equally few rows to tell, the one with fewer first rows,
        then the one with the shorter repeat. None where there is none.
    """
    rows = design.grid.rows
    skipped = 0 if from_row_1 else STRUNG
    found = (
        Repeat(skipped + one.first, one.period, rows - skipped - one.first - one.length, rows)
        for one in find_long_repetitions(number_rows(design)[skipped:])
        if 2 * one.length > rows
    )
    return min(found, key=lambda repeat: (repeat.first_rows + repeat.period + repeat.end, *repeat), default=None)


def number_rows(design: Design) -> list[int]:
    """Return a number for each row, alike where two rows hold the same beads on the same columns."""
    grid = design.grid
    cells, bytes_each = design.cells.tobytes(), design.cells.itemsize
    ends = (bytes_each * edge for edge in grid.row_edges)
    seen: dict[tuple[bool, bytes], int] = {}
    return [
        seen.setdefault((bool(row % 2), cells[start:end]), len(seen)) for row, (start, end) in enumerate(pairwise(ends))
    ]


class Repetition(NamedTuple):
    """A stretch that is as long as it can be."""

    first: int
    """Where it begins, from 0."""
    period: int
    """Each item but the first ``period`` equals the one a period before it."""
    length: int
    """How many items it has, at least two periods."""


def find_long_repetitions(items: Sequence[int]) -> Iterator[Repetition]:
    """Yield all repetitions that are longer than half of a series.

    Parameters
    ----------
    items
        Numbers that are compared for equality.
    """
    middle = len(items) // 2
    for one in _find_across(list(items[:middle]), list(items[middle:]), middle):
        if 2 * one.length > len(items):
            yield one


def z_function(items: Sequence[int | None]) -> list[int]:
    """Return for each place how far the series from there on equals its own beginning; 0 for the first place.

    Examples
    --------
    >>> z_function([1, 1, 2, 1, 1, 2, 1])
    [0, 1, 0, 4, 1, 0, 1]
    """
    size, left, right = len(items), 0, 0
    lengths = [0] * size
    for place in range(1, size):
        length = min(right - place, lengths[place - left]) if place < right else 0
        while place + length < size and items[length] == items[place + length]:
            length += 1
        lengths[place] = length
        if place + length > right:
            left, right = place, place + length
    return lengths


def _find_across(left: list[int | None], right: list[int | None], middle: int) -> Iterator[Repetition]:
    """Yield what lies across the place between two pieces of a series.

    Either the item a period before that place, or the one a period after it, belongs to the repetition; from there
    it is followed both ways.
    """
    whole = left + right
    back = [*z_function(left[::-1]), 0]
    ahead = z_function([*right, None, *whole])[len(right) + 1 :]
    for period in range(1, len(left) + 1):
        before, after = back[period], ahead[len(left) - period]
        if before + after >= period:
            yield Repetition(middle - period - before, period, period + before + after)
    onward = z_function(right)
    behind = z_function([*left[::-1], None, *whole[::-1]])[len(left) + 1 :]
    for period in range(1, len(right)):
        before, after = behind[len(right) - period], onward[period]
        if before + after >= period:
            yield Repetition(middle - before, period, period + before + after)
