"""The beads of word rows laid in their places: all of them, or as many as can be told where lines hold mistakes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from convert.rows.row_numbers import RowSpan, check_repeat
from convert.rows.statements import RepeatLine, RowLine
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.design import Bead, Design
from shared.grid import Grid

UNKNOWN = -1


@dataclass(frozen=True, slots=True, eq=False)
class LaidBeads:
    """A work of which some beads may be unknown.

    Parameters
    ----------
    cells
        The place of each bead in ``beads``, `UNKNOWN` where a mistake hides it, shape (beads,).
    """

    grid: Grid
    bead_sizes: BeadSizes
    beads: tuple[Bead, ...]
    cells: Ints

    @property
    def levels(self) -> Ints:
        """The level of each bead, `UNKNOWN` where it is not known, shape (beads,)."""
        levels = np.array([*(self.bead_sizes.level_of[bead.size] for bead in self.beads), UNKNOWN], dtype=np.int64)
        return levels[self.cells]  # UNKNOWN is -1, so that it takes the last one

    @property
    def kinds(self) -> list[str]:
        """The kind of each bead, empty where it is not known."""
        kinds = [*(bead.kind for bead in self.beads), ""]
        return [kinds[cell] for cell in self.cells.tolist()]


def lay_design(design: Design) -> LaidBeads:
    """Return a design as a work in which all is known."""
    return LaidBeads(design.grid, design.bead_sizes, design.beads, design.cells)


def lay_rows(
    entries: Sequence[RowLine | RepeatLine],
    spans: Sequence[RowSpan],
    *,
    grid: Grid,
    beads: tuple[Bead, ...],
    bead_sizes: BeadSizes,
) -> LaidBeads:
    """Lay each row that fits its place, and leave the others unknown.

    Parameters
    ----------
    spans
        Which rows each of them stands for, by its line.
    """
    line_of = {entry.line: entry for entry in entries}
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    path = np.full(grid.count, UNKNOWN, np.int64)
    for span in spans:
        entry = line_of.get(span.line)
        stretch = _stretch(grid, span.first, span.last)
        if isinstance(entry, RowLine):
            _lay_row(path[stretch], entry, place_of)
        elif entry is not None and (span.first, span.last) == (entry.first, entry.last) and not check_repeat(entry):
            source = path[_stretch(grid, entry.source_first, entry.source_last)]
            path[stretch] = np.tile(source, entry.times)
    cells = np.empty_like(path)
    cells[grid.needle_order] = path
    return LaidBeads(grid, bead_sizes, beads, cells)


def _lay_row(place: Ints, row: RowLine, place_of: dict[str, int]) -> None:
    """Fill the place of a row, if its beads are just as many."""
    if row.kinds and not row.unread and sum(row.counts) == place.size:
        place[:] = np.repeat([place_of.get(kind, UNKNOWN) for kind in row.kinds], row.counts)


def _stretch(grid: Grid, first: int, last: int) -> slice:
    """Return where rows lie along the path of the needle."""
    return grid.row_slice(first, last)
