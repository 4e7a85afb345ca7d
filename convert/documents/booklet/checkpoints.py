"""Where to stop and check: the rows in which domes begin and end."""

from typing import NamedTuple

import numpy as np

from shared.design import Design
from shared.grid import Ints


class Checkpoint(NamedTuple):
    """Something that must be true after a row."""

    row: int
    words: str


class _Raised(NamedTuple):
    """The larger beads of one dome."""

    rows: Ints
    columns: Ints
    levels: Ints

    @property
    def first(self) -> int:
        return int(self.rows.min())

    @property
    def last(self) -> int:
        return int(self.rows.max())


def checkpoints(design: Design) -> tuple[Checkpoint, ...]:
    """Return what to check, in the order of rows; nothing for work without larger beads."""
    domes = sorted(_domes(design), key=lambda dome: (dome.first, int(dome.columns.min())))
    found = [point for place, dome in enumerate(domes, start=1) for point in _points(place, dome)]
    return tuple(sorted(found, key=lambda point: point.row))


def _points(place: int, dome: _Raised) -> tuple[Checkpoint, ...]:
    begun = dome.columns[dome.rows == dome.first]
    top = dome.rows[dome.levels == dome.levels.max()]
    beads = "1 larger bead" if dome.rows.size == 1 else f"{dome.rows.size} larger beads"
    start = f"dome {place} begins in row {dome.first}, {_span('column', begun)}."
    end = (
        f"dome {place} ends in row {dome.last}: {beads} from row {dome.first} on, in {_span('column', dome.columns)}, "
        f"highest in {_span('row', top)}."
    )
    return Checkpoint(max(dome.first, 2), start), Checkpoint(max(dome.last, 2), end)


def _span(what: str, numbers: Ints) -> str:
    low, high = int(numbers.min()), int(numbers.max())
    return f"{what} {low}" if low == high else f"{what}s {low} to {high}"


def _domes(design: Design) -> list[_Raised]:
    """Return the larger beads in groups whose beads touch one another."""
    grid, levels = design.grid, design.levels
    group = np.where(levels > 0, np.arange(grid.count), grid.count)
    padded = np.append(group, grid.count)
    while True:
        least = np.where(levels > 0, np.minimum(group, padded[grid.neighbours].min(axis=1)), grid.count)
        least = np.where(levels > 0, np.append(least, grid.count)[least], grid.count)
        if np.array_equal(least, group):
            break
        group, padded = least, np.append(least, grid.count)
    members = [np.flatnonzero(group == first) for first in np.unique(group[group < grid.count])]
    return [_Raised(grid.row_of[beads], grid.column_of[beads], levels[beads]) for beads in members]
