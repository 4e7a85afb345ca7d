"""An edited sheet brought into its design: what changed, and where the size-step rule is broken now."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from shared.arrays import Ints
from shared.design import Bead, Design, letter_of


class Edited(NamedTuple):
    """A design after edits elsewhere."""

    design: Design
    """With the edits."""
    before: Design
    """As it was."""
    cells: Ints
    """Which cells changed, rising."""
    broken: Ints
    """Pairs of beads in contact more than one level apart, which were not before, shape (pairs, 2)."""
    notes: tuple[str, ...] = ()
    """What else a person should know."""


def edited(design: Design, beads: Sequence[Bead], cells: Ints, *, notes: tuple[str, ...] = ()) -> Edited:
    """Put other beads into the cells of a design.

    Keys stay. Beads that were used and no longer are leave the list; new ones stand behind those of their colour.

    Parameters
    ----------
    design
        As it was.
    beads
        Those of the design, then any others.
    cells
        For each bead of the grid its place in ``beads``, shape (beads,).
    notes
        Passed on.
    """
    counts = np.bincount(cells, minlength=len(beads))
    used_before = design.counts > 0
    keep = [
        place for place in range(len(beads)) if counts[place] or (place < len(used_before) and not used_before[place])
    ]
    order = sorted(keep, key=_order(beads, len(design.beads)))
    place_of = np.full(len(beads), -1)
    place_of[order] = np.arange(len(order))
    after = replace(design, beads=tuple(beads[place] for place in order), cells=place_of[cells])
    changed = (cells != design.cells).nonzero()[0]
    return Edited(after, design, changed, _broken(design, after), notes)


def _order(beads: Sequence[Bead], old: int) -> Callable[[int], tuple[int, int]]:
    """Return the rank of each place: old beads as they stood, new ones behind the last of their colour."""
    last = {letter_of(bead.kind): place for place, bead in enumerate(beads[:old])}

    def rank(place: int) -> tuple[int, int]:
        return (place, -1) if place < old else (last.get(letter_of(beads[place].kind), old), place)

    return rank


def _broken(before: Design, after: Design) -> Ints:
    """Return the pairs in contact whose sizes are too far apart now and were not."""
    first = np.arange(after.grid.count).repeat(after.grid.neighbours.shape[1])
    second = after.grid.neighbours.ravel()
    once = second > first
    pairs = np.stack([first[once], second[once]], axis=1)
    wide, was = (np.abs(np.diff(one.levels[pairs], axis=1))[:, 0] > 1 for one in (after, before))
    return np.asarray(pairs[wide & ~was])
