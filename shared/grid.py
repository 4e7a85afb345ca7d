"""The offset lattice of flat peyote: which bead lies where, which it touches, and how the needle goes through them.

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

from collections.abc import Mapping
from dataclasses import dataclass
from enum import IntEnum
from functools import cached_property
from itertools import cycle, islice, pairwise
from typing import NamedTuple

import numpy as np

from shared.arrays import Floats, Ints
from shared.errors import BadChoiceError
from shared.needle import Begin, NeedlePath, Problem, RowEntry, Turn, path_of_rectangle
from shared.orientation import LEAST_GROUPS, Direction, Hand, Start

MOST_BEADS = 2_000_000
"""A larger work is refused: no hand finishes it, and a slip of a unit is likelier."""


class Contact(IntEnum):
    """Where a neighbour lies: its place in `Grid.neighbours`.

    Earlier is towards row 1, later towards the last row. Of a work of drop 1 the first six lead to beads. In two-drop
    only the diagonals at the outer edge of its pair do, and one of the partners.
    """

    EARLIER = 0
    LATER = 1
    EARLIER_TAIL = 2
    EARLIER_FAR = 3
    LATER_TAIL = 4
    LATER_FAR = 5
    PARTNER_TAIL = 6
    PARTNER_FAR = 7


STEPS = ((-2, 0), (2, 0), (-1, -1), (-1, 1), (1, -1), (1, 1), (0, -1), (0, 1))
"""The step in row and column to each `Contact`."""

DIAGONALS = 6
"""How many contacts come before those of partners."""

DROPS = (1, 2)


class RowRule(NamedTuple):
    """What a row is like in a rectangle."""

    beads: int
    direction: Direction
    end: Turn


@dataclass(frozen=True)
class Grid:
    """The lattice of one work, a full rectangle; see `shared.needle.Lattice`.

    Parameters
    ----------
    columns
        W, at least two groups.
    rows
        R, at least 2: rows 1 and 2 are strung together.
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
        if self.rows < 2:
            raise BadChoiceError(f"{self.rows} is too few rows; give 2 or more, for rows 1 and 2 are strung together")
        if self.drop not in DROPS:
            raise BadChoiceError(f"a drop of {self.drop} cannot be worked; give 1, or 2 for two-drop")
        if self.columns < LEAST_GROUPS * self.drop:
            raise BadChoiceError(f"{self.columns} is too few columns; give {LEAST_GROUPS * self.drop} or more")
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
        pairs, single = divmod(self.rows, 2)
        return pairs * self.columns + single * self.rule_of(1).beads

    @property
    def groups(self) -> int:
        """G, how many groups of columns there are."""
        return self.columns // self.drop

    @property
    def odd_count(self) -> bool:
        """Whether the groups are odd in number, so that every second turn is the odd-count turn."""
        return self.groups % 2 == 1

    @property
    def name(self) -> str:
        """What the work is called: ``flat peyote`` or ``two-drop flat peyote``."""
        return "flat peyote" if self.drop == 1 else "two-drop flat peyote"

    @property
    def full_name(self) -> str:
        """The same with its turns: ``odd-count flat peyote``, ``two-drop even-count flat peyote`` …"""
        return f"{'two-drop ' if self.drop == 2 else ''}{'odd' if self.odd_count else 'even'}-count flat peyote"

    def group_of(self, column: Ints) -> Ints:
        """Return the group of each column."""
        return (column - 1) // self.drop + 1

    def rule_of(self, row: int) -> RowRule:
        """Return what a row of any number is like, whether the work has that many or not.

        Readers of rows need it, who meet a row before they know how many there are. Rows 1 and 2 are strung together
        and run as row 2 does.
        """
        away = row <= 2 or row % 2 == 0
        direction: Direction = ">" if away == (self.hand == "right") else "<"
        turn: Turn = "odd-count" if self.odd_count and not away else "plain"
        return RowRule(self.drop * ((self.groups - self._first_group(row)) // 2 + 1), direction, turn)

    @cached_property
    def row_edges(self) -> tuple[int, ...]:
        """Where each row begins in an array of beads, and the count of all, so that row r is ``edges[r - 1:r + 1]``."""
        return tuple(np.searchsorted(self.row_of, np.arange(1, self.rows + 2)).tolist())

    def row_slice(self, first: int, last: int | None = None) -> slice:
        """Return where the beads of a row, or of rows up to a last one, lie in an array of beads."""
        return slice(self.row_edges[first - 1], self.row_edges[first if last is None else last])

    @cached_property
    def row_of(self) -> Ints:
        """The row of each bead, shape (beads,)."""
        pair, place = np.divmod(np.arange(self.count), self.columns)
        return _frozen(2 * pair + 1 + (place >= self.rule_of(1).beads))

    @cached_property
    def column_of(self) -> Ints:
        """The column of each bead, shape (beads,)."""
        place, odd = np.arange(self.count) % self.columns, self.rule_of(1).beads
        in_row = np.where(place < odd, place, place - odd)
        first = np.where(place < odd, self._first_group(1), self._first_group(2))
        pair, step = np.divmod(in_row, self.drop)
        return _frozen((first + 2 * pair - 1) * self.drop + step + 1)

    def bead_at(self, row: Ints, column: Ints) -> Ints:
        """Return the number of the bead at each row and column, -1 where there is none.

        Parameters
        ----------
        row, column
            Arrays that broadcast together.
        """
        # Places outside fall on the border of the table, which holds no bead.
        return self._numbers[np.clip(row + 1, 0, self.rows + 3), np.clip(column, 0, self.columns + 1)]

    @cached_property
    def neighbours(self) -> Ints:
        """The beads that each bead touches by `Contact`, -1 for none; shape (beads, 6), in two-drop (beads, 8)."""
        down, right = self.row_of + 1, self.column_of
        steps = STEPS[: DIAGONALS if self.drop == 1 else None]
        beside = np.empty((self.count, len(steps)), dtype=np.int64)
        for place, (rows, columns) in enumerate(steps):
            beside[:, place] = self._numbers[down + rows, right + columns]
        return _frozen(beside)

    @cached_property
    def needle_order(self) -> Ints:
        """The beads in the order in which the needle takes them, shape (beads,): rows 1 and 2, then row by row."""
        strung = (self.row_of <= 2).nonzero()[0]
        stitched = np.arange(strung.size, self.count)
        row, column = self.row_of[stitched], self.column_of[stitched]
        along = np.where(row % 2 == 1, -column, column)
        return _frozen(np.concatenate([strung[np.argsort(self.column_of[strung])], stitched[np.lexsort((along, row))]]))

    @cached_property
    def entries(self) -> tuple[RowEntry, ...]:
        """What the word rows list: rows 1 and 2, strung together, then row by row."""
        rows = ((1, 2), *((row,) for row in range(3, self.rows + 1)))
        rules = [self.rule_of(2), *islice(cycle((self.rule_of(3), self.rule_of(4))), self.rows - 2)]
        begins: tuple[Begin, ...] = ("strung", *(rule.end for rule in rules))
        edges = pairwise((0, *self.row_edges[2:]))
        return tuple(
            RowEntry(entry, self.needle_order[first:end], rule.direction, begin, rule.end)
            for entry, rule, begin, (first, end) in zip(rows, rules, begins, edges, strict=False)
        )

    @cached_property
    def entry_of(self) -> Mapping[int, RowEntry]:
        """The entry that holds each row."""
        return {row: entry for entry in self.entries for row in entry.rows}

    @cached_property
    def needle_path(self) -> NeedlePath:
        """Every pass of the needle."""
        path = path_of_rectangle(self._numbers[2:-2, 1:-1], drop=self.drop)
        for array in path:
            array.flags.writeable = False
        return path

    def problems(self) -> tuple[Problem, ...]:
        """Return the beads that cannot be stitched: of a full rectangle none."""
        return ()

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

    def _first_group(self, row: int) -> int:
        """Return the lowest group that a row holds, 1 or 2."""
        return 1 if (self.groups - 1 + row) % 2 else 2

    @cached_property
    def _numbers(self) -> Ints:
        """The bead at each row and column, from row -1 and column 0 on to two rows and a column beyond the last."""
        numbers = np.full((self.rows + 4, self.columns + 2), -1)
        numbers[self.row_of + 1, self.column_of] = np.arange(self.count)
        return _frozen(numbers)


def _frozen(array: Ints) -> Ints:
    array.flags.writeable = False
    return array
