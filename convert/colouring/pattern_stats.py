"""How tiresome a pattern is to work: stray beads, and how often the bead changes along the needle's path."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats, Ints
from shared.needle import Lattice, entry_places


class PatternStats(NamedTuple):
    """Figures of a pattern."""

    strays: int
    """Beads none of whose neighbours has their colour."""
    runs_per_row: float
    """Runs of equal beads, mean over the entries of the word rows."""
    mean_error: float
    """Mean CIEDE2000 of the beads to the picture."""


def measure_pattern(labels: Ints, levels: Ints, errors: Floats, grid: Lattice) -> PatternStats:
    """Measure a pattern.

    Parameters
    ----------
    labels, levels
        Colour and level of each bead, shape (beads,).
    errors
        CIEDE2000 of each bead to the picture, shape (beads,).
    grid
        The lattice.
    """
    return PatternStats(
        strays=int(np.count_nonzero(stray_beads(labels, grid))),
        runs_per_row=runs_per_row(labels * (int(levels.max()) + 1) + levels, grid),
        mean_error=float(errors.mean()),
    )


def stray_beads(labels: Ints, grid: Lattice) -> NDArray[np.bool_]:
    """Return whether no bead that each one touches has its colour, shape (beads,)."""
    alike = np.zeros(grid.count, dtype=bool)
    for near in grid.neighbours.T:
        alike |= (near >= 0) & (labels[near] == labels)
    return ~alike


def runs_per_row(kinds: Ints, grid: Lattice) -> float:
    """Return the mean number of runs of equal kinds over all entries."""
    entry = entry_places(grid.entries)
    along = kinds[grid.needle_order]
    begins = np.ones(grid.count, dtype=bool)
    begins[1:] = (entry[1:] != entry[:-1]) | (along[1:] != along[:-1])
    return float(np.count_nonzero(begins) / len(grid.entries))
