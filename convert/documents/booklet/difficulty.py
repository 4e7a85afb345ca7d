"""How hard a design is to stitch, by a rule that the booklet states."""

from typing import NamedTuple

import numpy as np

from shared.design import Design
from shared.needle import entry_places
from shared.plural import counted

SEVERAL_CHANGES, MANY_CHANGES = 2.0, 5.0
"""Colour or size changes in a row, on average, from which they count one point and two."""

LEVELS = ((1, "a first piece"), (3, "some experience"), (5, "an experienced hand"))
"""Up to how many points, whom a design suits."""

RULE = (
    "How this is worked out: no point for one bead size, one for two sizes, two for more; none for fewer than 2 "
    "changes of bead in a row on average, one from 2, two from 5; one for the odd-count turn. Up to 1 point suits a "
    "first piece, up to 3 some experience, more an experienced hand."
)


class Difficulty(NamedTuple):
    """How hard a design is."""

    points: int
    """0 to 5."""
    suits: str
    """Whom it suits."""
    reasons: str
    """What the points are for."""


def difficulty(design: Design) -> Difficulty:
    """Work out how hard a design is, from its bead sizes, changes of bead in a row, and turns; see `RULE`.

    This is a rule of our own, not one of the trade.
    """
    sizes = np.unique(design.levels).size
    changes = changes_in_a_row(design)
    points = min(sizes - 1, 2) + (changes >= SEVERAL_CHANGES) + (changes >= MANY_CHANGES) + design.grid.odd_count
    suits = next(words for most, words in LEVELS if points <= most)
    turn = "the odd-count turn" if design.grid.odd_count else "plain turns only"
    many = counted(sizes, "bead size")
    return Difficulty(int(points), suits, f"{many}, {changes:.1f} changes of bead in a row, {turn}")


def changes_in_a_row(design: Design) -> float:
    """Return how often the next bead of a row is another than the last, on average over the entries of word rows."""
    grid = design.grid
    cells = design.cells[grid.needle_order]
    changes = np.count_nonzero((np.diff(cells) != 0) & (np.diff(entry_places(grid.entries)) == 0))
    return float(changes) / len(grid.entries)
