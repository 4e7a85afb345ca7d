"""The same design made longer or shorter: by whole repeats, or by rows at its two ends."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from convert.relief.size_steps import keep_size_step_rule
from convert.rows.find_repeat import Repeat
from shared.arrays import Ints
from shared.design import Bead, Design, letter_of
from shared.errors import BadChoiceError

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
    design
        What is changed.
    repeat
        Its repeat; needed where repeats are put in or taken out.
    change
        What to do.

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
    beads = _add_slopes(design, bead, np.unique(levels[plain]))
    place_of = {one.kind: place for place, one in enumerate(beads)}
    slopes = np.array(
        [place_of.get(_slope_kind(bead, level, design), 0) for level in range(len(design.bead_sizes.sizes))]
    )
    kept = np.array([place_of[one.kind] for one in design.beads])
    cells = np.where(plain, slopes[levels], kept[design.cells[old]])
    return _drop_unused(replace(design, grid=grid, beads=beads, cells=cells), design)


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


def _add_slopes(design: Design, plain: Bead, levels: Ints) -> tuple[Bead, ...]:
    """Return the beads of a design, with those added that slopes of plain rows take, colour by colour."""
    beads = list(design.beads)
    for level in levels.tolist():
        kind = _slope_kind(plain, level, design)
        if kind not in {bead.kind for bead in beads}:
            letter = letter_of(kind)
            last = max(place for place, bead in enumerate(beads) if letter_of(bead.kind) == letter)
            beads.insert(last + 1, replace(plain, kind=kind, size=design.bead_sizes.sizes[level].name))
    return tuple(beads)


def _slope_kind(plain: Bead, level: int, design: Design) -> str:
    return letter_of(plain.kind) + design.bead_sizes.marks[level]


def _drop_unused(design: Design, before: Design) -> Design:
    """Leave out beads that were used before and are no longer."""
    used_before = {bead.kind for bead, count in zip(before.beads, before.counts.tolist(), strict=True) if count}
    keep = np.array(
        [
            count > 0 or bead.kind not in used_before
            for bead, count in zip(design.beads, design.counts.tolist(), strict=True)
        ]
    )
    places = np.cumsum(keep) - 1
    beads = tuple(bead for bead, kept in zip(design.beads, keep.tolist(), strict=True) if kept)
    return replace(design, beads=beads, cells=places[design.cells])
