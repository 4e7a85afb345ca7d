"""The same design made longer or shorter: by whole repeats, or by rows at its two ends."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from convert.rows.find_repeat import Repeat
from shared.design import Bead, Design, in_size, lay_beads
from shared.errors import BadChoiceError
from shared.size_steps import keep_size_step_rule

FEWEST_ROWS = 4
"""Cutting leaves no fewer rows."""


class Change(NamedTuple):
    """What is done to a design."""

    repeats: int = 0
    """Whole repeats put in; below zero for taken out."""
    plain: int = 0
    """Plain rows put on at both ends together, an even number; below zero for rows cut off there."""

    @property
    def at_start(self) -> int:
        """Of the plain rows, how many lie before row 1: an even number, or columns and direction would change."""
        return 2 * int(self.plain / 4)

    @property
    def at_end(self) -> int:
        """Of the plain rows, how many lie after the last row."""
        return self.plain - self.at_start


def resize(design: Design, repeat: Repeat | None, change: Change) -> Design:
    """Make a design longer or shorter.

    Plain rows have the commonest bead of the flat size; where the work ends in raised beads they carry the slope
    that the size-step rule asks for, in the same colour. Beads that are no longer used leave the list; letters stay.

    Parameters
    ----------
    repeat
        Its repeat; needed where repeats are put in or taken out.

    Raises
    ------
    BadChoiceError
        When fewer than one repeat, or fewer than `FEWEST_ROWS`, would be left.
    """
    sources = _find_sources(design.grid.rows, repeat, change)
    grid = replace(design.grid, rows=len(sources))
    source = np.array([0, *sources], dtype=np.int64)[grid.row_of]
    old = design.grid.bead_at(source, grid.column_of)
    plain = source == 0
    bead = plain_bead(design)
    wanted = np.where(plain, design.bead_sizes.level_of[bead.size], design.levels[old])
    levels = keep_size_step_rule(wanted, grid, slopes="widen")
    beads, cells = list(design.beads), design.cells[old]
    for level in np.unique(levels[plain]).tolist():
        slope = in_size(bead, level, design.bead_sizes)
        place = next((place for place, one in enumerate(beads) if one.kind == slope.kind), len(beads))
        beads += [slope] if place == len(beads) else []
        cells[plain & (levels == level)] = place
    return lay_beads(design, beads, cells, grid=grid)


def plain_bead(design: Design) -> Bead:
    """Return the commonest bead of the lowest level that a design uses: what plain rows are made of."""
    levels = np.array([design.bead_sizes.level_of[bead.size] for bead in design.beads])
    used = design.counts > 0
    lowest = levels[used].min()
    return design.beads[int(np.where(used & (levels == lowest), design.counts, -1).argmax())]


def _find_sources(rows: int, repeat: Repeat | None, change: Change) -> Sequence[int]:
    """Return for each row of the new work the row it is taken from, 0 for a plain one."""
    found = list(range(1, rows + 1))
    if change.repeats:
        if repeat is None or rows - repeat.first_rows - repeat.end + change.repeats * repeat.period < repeat.period:
            raise BadChoiceError("fewer than one repeat would be left; ask for a longer work")
        first, period = repeat.first_rows, repeat.period
        once = found[first : first + period]
        cut = -change.repeats * period if change.repeats < 0 else 0
        found = found[:first] + once * max(change.repeats, 0) + found[first + cut :]
    if change.plain < 0 and len(found) + change.plain < FEWEST_ROWS:
        raise BadChoiceError(f"fewer than {FEWEST_ROWS} rows would be left; ask for a longer work")
    if change.plain < 0:
        return found[-change.at_start : len(found) + change.at_end]
    return [0] * change.at_start + found + [0] * change.at_end
