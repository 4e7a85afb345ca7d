"""What can be told of a work although its word rows hold mistakes."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from convert.rows.row_checks import Frame
from convert.rows.row_numbers import Span, repeat_mistakes
from convert.rows.statements import RepeatLine, RowLine
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.design import Bead, Design
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.orientation import Start

UNKNOWN = -1


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A work of which some beads may be unknown.

    Parameters
    ----------
    grid
        Its lattice.
    ladder
        Its sizes.
    beads
        Those that are known.
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
        return levels[self.cells]

    @property
    def keys(self) -> list[str]:
        """The key of each bead, empty where it is not known."""
        keys = [*(bead.kind for bead in self.beads), ""]
        return [keys[cell] for cell in self.cells.tolist()]


def laid_out(design: Design) -> Laid:
    """Return a design as a work in which all is known."""
    return Laid(design.grid, design.bead_sizes, design.beads, design.cells)


def lay_what_fits(
    entries: Sequence[RowLine | RepeatLine],
    spans: Sequence[Span],
    *,
    beads: tuple[Bead, ...],
    frame: Frame,
    start: Start,
    bead_sizes: BeadSizes,
) -> Laid | None:
    """Lay each row that fits its place, and leave the others unknown.

    Returns
    -------
    Laid
        None when not even columns and hand are known, or the work is too large.
    """
    if frame.strand is None or frame.hand is None or not spans:
        return None
    try:
        grid = frame.work(max(2, *(span.last for span in spans)), start)
    except BadChoiceError:
        return None
    line_of = {entry.line: entry for entry in entries}
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    path = np.full(grid.count, UNKNOWN, np.int64)
    for span in spans:
        entry = line_of.get(span.line)
        stretch = _stretch(grid, span.first, span.last)
        if isinstance(entry, RowLine):
            _lay(path[stretch], entry, place_of)
        elif entry is not None and span.ends == _ends(entry) and not list(repeat_mistakes(entry)):
            source = path[_stretch(grid, entry.source_first, entry.source_last)]
            path[stretch] = np.tile(source, entry.rounds)
    cells = np.empty_like(path)
    cells[grid.needle_order] = path
    return Laid(grid, bead_sizes, beads, cells)


def _lay(place: Ints, row: RowLine, place_of: dict[str, int]) -> None:
    """Fill the place of a row, if its beads are just as many."""
    if not row.unread and sum(row.counts) == place.size:
        place[:] = np.repeat([place_of.get(key, UNKNOWN) for key in row.keys], row.counts) if row.keys else UNKNOWN


def _ends(repeat: RepeatLine) -> tuple[int, ...]:
    return (repeat.first,) if repeat.first == repeat.last else (repeat.first, repeat.last)


def _stretch(grid: Grid, first: int, last: int) -> slice:
    return grid.row_slice(first, last)
