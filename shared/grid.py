"""The offset lattice of flat peyote: which bead lies where, and in which order the needle takes it.

Axes. Columns are numbered 1 … W from the tail side and stitched rows from 1. Beads are numbered from 0,
row by row, each row in rising column order; every array of "beads" has one entry for each in this
order. Millimetres run x to the right and y down, from the upper left corner of the finished work.

Columns are worked in *groups* of ``drop``: one column by itself in peyote as usual, two side by side in two-drop,
where the needle takes a pair of beads in each stitch. Groups are numbered 1 … G = W / drop from the tail side, and
row r holds group g exactly when G - g + r is odd; with a drop of 1 a group is a column. Each row fills every second
group, so that each bead straddles two *half-rows*: bands half a diameter high, of which R rows make R + 1.

With the tail at the left (a right-handed stitcher) column 1 is the leftmost; for a left-handed one
everything is mirrored and column 1 is the rightmost.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats, Ints
from shared.errors import BadChoiceError
from shared.orientation import Direction, Hand, Start

MOST_BEADS = 2_000_000
"""A larger work is refused: no hand finishes it, and a slip of a unit is likelier."""

CONTACTS = ((-2, 0), (2, 0), (-1, -1), (-1, 1), (1, -1), (1, 1))
"""Steps in row and column to the six beads that a bead touches in work of drop 1: two in its column, then those on the
diagonals. In two-drop only the diagonals at the outer edge of its pair lead to a bead."""

PARTNERS = ((0, -1), (0, 1))
"""Steps to the other bead of a pair in two-drop; one of them leads to a bead."""

DROPS = (1, 2)


@dataclass(frozen=True)
class Grid:
    """The lattice of one work.

    Parameters
    ----------
    columns
        W, at least 1.
    rows
        R, at least 2: rows 1 and 2 are stlevel together.
    hand
        ``"right"``: tail at the left, rows 1+2 run left to right. ``"left"`` mirrors it.
    start
        Whether row 1 is the top or the bottom of the picture.
    drop
        How many beads the needle takes in a stitch, 1 or 2, and so how many columns make a group.

    Raises
    ------
    BadChoiceError
        When a number is too small, the columns make no whole groups, or the beads are too many.
    """

    columns: int
    rows: int
    hand: Hand = "right"
    start: Start = "top"
    drop: int = 1

    def __post_init__(self) -> None:
        if self.columns < 1:
            raise BadChoiceError(f"{self.columns} is too few columns; give 1 or more")
        if self.rows < 2:
            raise BadChoiceError(f"{self.rows} is too few rows; give 2 or more, for rows 1 and 2 are strung together")
        if self.drop not in DROPS:
            raise BadChoiceError(f"a drop of {self.drop} cannot be worked; give 1, or 2 for two-drop")
        if self.columns % self.drop:
            raise BadChoiceError(
                f"{self.columns} columns cannot be worked two-drop, in pairs; "
                f"give {self.columns + 1} or another even number, or a drop of 1"
            )
        if self.columns * self.rows > 2 * MOST_BEADS:
            raise BadChoiceError(
                f"{self.columns} columns by {self.rows} rows are over {MOST_BEADS:,} beads; give fewer"
            )

    @property
    def count(self) -> int:
        """How many beads the work has."""
        return self.first_bead(self.rows + 1)

    @property
    def groups(self) -> int:
        """G, how many groups of columns there are."""
        return self.columns // self.drop

    @property
    def odd_count(self) -> bool:
        """Tell whether the groups are odd in number, so that every second turn is the odd-count turn."""
        return self.groups % 2 == 1

    @property
    def name(self) -> str:
        """What the work is called: ``flat peyote`` or ``two-drop flat peyote``."""
        return "flat peyote" if self.drop == 1 else "two-drop flat peyote"

    @property
    def full_name(self) -> str:
        """The same with its turns: ``odd-count flat peyote``, ``two-drop even-count flat peyote`` …"""
        return f"{'two-drop ' if self.drop == 2 else ''}{'odd' if self.odd_count else 'even'}-count flat peyote"

    @property
    def contacts(self) -> tuple[tuple[int, int], ...]:
        """Steps in row and column to all beads that a bead may touch, in the order of `neighbours`."""
        return CONTACTS if self.drop == 1 else CONTACTS + PARTNERS

    def first_group(self, row: int) -> int:
        """Return the lowest group that a row holds, 1 or 2."""
        return 1 if (self.groups - 1 + row) % 2 else 2

    def group_of(self, column: Ints) -> Ints:
        """Return the group of each column."""
        return (column - 1) // self.drop + 1

    def beads_in_row(self, row: int) -> int:
        """Return how many beads a row has; none in the even rows of a work one group wide."""
        return self.drop * ((self.groups - self.first_group(row)) // 2 + 1)

    def first_bead(self, row: int) -> int:
        """Return the number of the first bead of a row (for R + 1: the count of all beads)."""
        pairs, extra = divmod(row - 1, 2)
        return pairs * self.columns + extra * self.beads_in_row(1)

    def row_slice(self, row: int) -> slice:
        """Return where a row's beads lie in an array of beads."""
        return slice(self.first_bead(row), self.first_bead(row + 1))

    @cached_property
    def row_edges(self) -> tuple[int, ...]:
        """Where each row begins in an array of beads, and the count of all, so that row r is ``edges[r - 1:r + 1]``."""
        pairs = range(0, self.columns * (self.rows // 2 + 1), self.columns)
        odd = self.beads_in_row(1)
        return tuple(edge for start in pairs for edge in (start, start + odd))[: self.rows + 1]

    @cached_property
    def row_of(self) -> Ints:
        """The row of each bead, shape (beads,)."""
        pair, place = np.divmod(np.arange(self.count), self.columns)
        return _frozen(2 * pair + 1 + (place >= self.beads_in_row(1)))

    @cached_property
    def column_of(self) -> Ints:
        """The column of each bead, shape (beads,)."""
        place = np.arange(self.count) % self.columns
        odd = self.beads_in_row(1)
        in_row = np.where(place < odd, place, place - odd)
        first = np.where(place < odd, self.first_group(1), self.first_group(2))
        pair, step = np.divmod(in_row, self.drop)
        return _frozen((first + 2 * pair - 1) * self.drop + step + 1)

    def bead_at(self, row: Ints, column: Ints) -> Ints:
        """Return the number of the bead at each row and column, -1 where there is none.

        Parameters
        ----------
        row, column
            Arrays that broadcast together.
        """
        odd_row = row % 2 == 1
        group = self.group_of(column)
        first = np.where(odd_row, self.first_group(1), self.first_group(2))
        start = (row - 1) // 2 * self.columns + np.where(odd_row, 0, self.beads_in_row(1))
        inside = (row >= 1) & (row <= self.rows) & (column >= 1) & (column <= self.columns)
        place = (group - first) // 2 * self.drop + (column - 1) % self.drop
        return np.where(inside & self.holds(row, column), start + place, -1)

    def holds(self, row: Ints, column: Ints) -> NDArray[np.bool_]:
        """Tell whether each row of an endless work holds each column, by the rule alone."""
        return np.asarray((self.groups - self.group_of(column) + row) % 2 == 1)

    @cached_property
    def neighbours(self) -> Ints:
        """The beads that each bead touches, shape (beads, contacts) in the order of `contacts`; -1 for none."""
        numbers = np.full((self.rows + 4, self.columns + 2), -1)
        down, right = self.row_of + 1, self.column_of
        numbers[down, right] = np.arange(self.count)
        beside = np.empty((self.count, len(self.contacts)), dtype=np.int64)
        for place, (rows, columns) in enumerate(self.contacts):
            beside[:, place] = numbers[down + rows, right + columns]
        return _frozen(beside)

    @cached_property
    def needle_order(self) -> Ints:
        """The beads in the order in which the needle takes them, shape (beads,): the strand, then row by row."""
        strand = (self.row_of <= 2).nonzero()[0]
        stitched = np.arange(strand.size, self.count)
        row, column = self.row_of[stitched], self.column_of[stitched]
        along = np.where(row % 2 == 1, -column, column)
        return _frozen(np.concatenate([strand[np.argsort(self.column_of[strand])], stitched[np.lexsort((along, row))]]))

    @property
    def works(self) -> tuple[tuple[int, ...], ...]:
        """The rows of each entry of the word rows: ``(1, 2)`` for the strand, then ``(3,)``, ``(4,)`` …"""
        return ((1, 2), *((row,) for row in range(3, self.rows + 1)))

    def beads_of(self, rows: tuple[int, ...]) -> Ints:
        """Return the beads of one entry of `works` in needle order."""
        return self.needle_order[self.first_bead(rows[0]) : self.first_bead(rows[-1] + 1)]

    def away_from_tail(self, rows: tuple[int, ...]) -> bool:
        """Tell whether the needle leaves the tail side in this entry: in the strand and in even rows."""
        return rows[-1] % 2 == 0

    def direction(self, rows: tuple[int, ...]) -> Direction:
        """Return the way of the needle, ``">"`` left to right or ``"<"`` right to left."""
        return ">" if self.away_from_tail(rows) == (self.hand == "right") else "<"

    def odd_count_turn(self, rows: tuple[int, ...]) -> bool:
        """Tell whether the entry ends with the odd-count turn: odd works, rows that end on the tail side."""
        return self.odd_count and not self.away_from_tail(rows)

    @cached_property
    def place_of(self) -> Ints:
        """The place of each bead as one sees it, shape (beads, 2): half-row from the top and column from the left.

        Both count from 0. The bead covers its half-row and the one below.
        """
        down = self.row_of - 1 if self.start == "top" else self.rows - self.row_of
        right = self.column_of - 1 if self.hand == "right" else self.columns - self.column_of
        return _frozen(np.stack([down, right], axis=1))

    def centres_mm(self, length_mm: float, diameter_mm: float) -> Floats:
        """Return the centre of each slot in flat work of one size, shape (beads, 2) as x, y in mm."""
        down, right = self.place_of.T
        return np.stack([(right + 0.5) * length_mm, (down + 1) * diameter_mm / 2], axis=1)

    def footprints_mm(self, length_mm: float, diameter_mm: float) -> Floats:
        """Return each slot as left, top, right, bottom in mm, shape (beads, 4): length x diameter about its centre."""
        half = np.array([length_mm, diameter_mm]) / 2
        centres = self.centres_mm(length_mm, diameter_mm)
        return np.concatenate([centres - half, centres + half], axis=1)

    def extent_mm(self, length_mm: float, diameter_mm: float) -> tuple[float, float]:
        """Return width and length of flat work of one size, in mm.

        Examples
        --------
        >>> Grid(columns=20, rows=220).extent_mm(1.3, 1.6)
        (26.0, 176.8)
        """
        return self.columns * length_mm, (self.rows + 1) * diameter_mm / 2


def _frozen(array: Ints) -> Ints:
    array.flags.writeable = False
    return array
