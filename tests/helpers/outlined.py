"""The needle by a simulation from the moves that a thread can make, and a work of another outline that reads it.

A thread that comes out of one end of a bead can go on into the bead of the next row or the row before that faces that
end, or turn into the bead of its column two rows on or back, at the same end. So it never crosses an empty place.
The first odd-count turn is a knot to the tail, after which the needle goes back through the bead it came out of.
"""

from collections import deque
from functools import cached_property

import numpy as np

from shared.grid import STEPS
from shared.needle import NeedlePath, Problem, RowEntry

TAIL, FAR = -1, 1
"""The two ends of a bead: towards column 1, and away from it."""


def moves(place, held):
    """The places that a thread can go on to, given as row, column and the end it comes out of; earlier rows first."""
    row, column, end = place
    along = [(row + step, column + end, end) for step in (-1, 1)]
    turns = [(row + step, column, -end) for step in (-2, 2)]
    return sorted(one for one in along + turns if one[:2] in held)


def shortest(start, goals, held):
    """The places passed on the shortest way to one of some places, that one included."""
    came = {start: None}
    queue = deque([start])
    while queue:
        place = queue.popleft()
        if place in goals:
            way = []
            while place != start:
                way.append(place)
                place = came[place]
            return way[::-1]
        for one in moves(place, held):
            if one not in came:
                came[one] = place
                queue.append(one)
    raise AssertionError(f"no way from {start} to {goals}")


def before_row(row, column, end, held):
    """Where the needle must come out to begin a row at a column and go on to an end."""
    if (row - 1, column - end) in held:
        return row - 1, column - end, end
    return row - 2, column, -end


def simulated(rows):
    """Every pass of the needle through rows of single beads, as (row, column, end it comes out of), row by row.

    ``rows`` has, for each entry, its beads as (row, column) in needle order, the first being rows 1 and 2. The result
    has for each entry its passes, those of the turn before it kept apart.
    """
    strung, *others = rows
    held, place = set(strung), (*strung[-1], FAR)
    passes = [([], [(*bead, FAR) for bead in strung])]
    for beads in others:
        row, first = beads[0]
        end = FAR if row % 2 == 0 else TAIL
        start, turn = before_row(row, first, end, held), []
        if place != start:
            knotted = place[:2] == start[:2] and row == 4
            turn = [start] if knotted else shortest(place, {start}, held)
        taken = []
        for bead, after in zip(beads, [*beads[1:], None], strict=True):
            taken.append((*bead, end))
            step = (row - 1, bead[1] + end)
            if after is not None:
                assert step in held, f"nothing between {bead} and {after}"
            if step in held:
                taken.append((*step, end))
        held |= set(beads)
        place = taken[-1]
        passes.append((turn, taken))
    return passes


class Outlined:
    """A work of drop 1 of which some beads of a rectangle are there, and which may be closed to a ring.

    Parameters
    ----------
    host
        The rectangle.
    exists
        Which of its beads are there, shape (beads,).
    closed
        Whether the last row touches the first.
    """

    hand, start, drop = "right", "top", 1

    def __init__(self, host, exists, *, closed=False):
        self.host, self.closed = host, closed
        self.beads = np.flatnonzero(exists)
        self.count = len(self.beads)
        self.columns, self.rows = host.columns, host.rows
        self.row_of, self.column_of = host.row_of[self.beads], host.column_of[self.beads]
        self.places = list(zip(self.row_of.tolist(), self.column_of.tolist(), strict=True))
        self.number = {place: bead for bead, place in enumerate(self.places)}

    def bead(self, row, column):
        if self.closed:
            row = (row - 1) % self.rows + 1
        return self.number.get((row, column), -1)

    @cached_property
    def neighbours(self):
        return np.array([[self.bead(row + r, column + c) for r, c in STEPS[:6]] for row, column in self.places])

    @cached_property
    def rows_in_order(self):
        strung = sorted((place for place in self.places if place[0] <= 2), key=lambda place: place[1])
        later = [[place for place in self.places if place[0] == row] for row in range(3, self.rows + 1)]
        return [strung, *(beads[:: 1 if beads[0][0] % 2 == 0 else -1] for beads in later if beads)]

    @cached_property
    def passes(self):
        return simulated(self.rows_in_order)

    @cached_property
    def entries(self):
        ends = ["plain" if len(turn) == 0 else "odd-count" for turn, _ in self.passes[1:]] + ["plain"]
        return tuple(
            RowEntry(
                (1, 2) if place == 0 else (beads[0][0],),
                np.array([self.number[bead] for bead in beads]),
                ">" if place == 0 or beads[0][0] % 2 == 0 else "<",
                "strung" if place == 0 else ends[place - 1],
                ends[place],
            )
            for place, beads in enumerate(self.rows_in_order)
        )

    @cached_property
    def needle_order(self):
        return np.concatenate([entry.beads for entry in self.entries])

    @cached_property
    def needle_path(self):
        # A ring is zipped up at its end: the needle goes on through row 1 and the last row in turn.
        turns = [turn for turn, _ in self.passes[1:]] + [self.zip_passes() if self.closed else []]
        rows = [row for _, row in self.passes]
        passes = [one for row, turn in zip(rows, turns, strict=True) for one in (*row, *turn)]
        sizes = np.array([(len(row), len(turn)) for row, turn in zip(rows, turns, strict=True)])
        starts = np.append(0, np.cumsum(sizes.sum(axis=1)))
        return NeedlePath(
            np.array([self.number[row, column] for row, column, _ in passes]),
            np.array([end == FAR for *_, end in passes]),
            starts,
            starts[:-1] + sizes[:, 0],
        )

    def zip_passes(self):
        """The last row of a ring is even, so that the needle comes back."""
        return [(1 if (1, column) in self.number else self.rows, column, TAIL) for column in range(self.columns, 0, -1)]

    def centres_mm(self, length_mm, diameter_mm):
        return self.host.centres_mm(length_mm, diameter_mm)[self.beads]

    def problems(self):
        """A bead of a later row needs both neighbours of the row before, or one of them and the bead below it."""
        hanging = [
            (row, column)
            for row, column in self.places
            if row > 2
            and ((row - 1, column - 1) in self.number)
            + ((row - 1, column + 1) in self.number)
            + ((row - 2, column) in self.number)
            < 2
        ]
        return tuple(Problem(*place, "would hang over the edge", "leave it out") for place in hanging)
