"""How tiresome a pattern is to work: stray beads, and colour changes along the needle's way."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints
from shared.needle import Lattice, entry_places

Floats = NDArray[np.float64]


class Tidiness(NamedTuple):
    """Figures of one state of a pattern."""

    strays: int
    """Beads none of whose contacts has their colour."""
    runs_per_row: float
    """Runs of equal beads, mean over the entries of the word rows."""
    mean_error: float
    """Mean CIEDE2000 of the beads to the picture."""


def tidiness(labels: Ints, levels: Ints, errors: Floats, grid: Lattice) -> Tidiness:
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
    return Tidiness(
        strays=int(np.count_nonzero(stray_beads(labels, grid))),
        runs_per_row=runs_per_row(labels * (int(levels.max()) + 1) + levels, grid),
        mean_error=float(errors.mean()),
    )


def stray_beads(labels: Ints, grid: Lattice) -> NDArray[np.bool_]:
    """Tell of each bead whether it touches others, and none of them has its colour; shape (beads,)."""
    touches, alike = np.zeros((2, grid.count), dtype=bool)
    for beside in grid.neighbours.T:
        touched = beside >= 0
        touches |= touched
        alike |= touched & (labels[beside] == labels)
    return touches & ~alike


def runs_per_row(keys: Ints, grid: Lattice) -> float:
    """Return the mean number of runs of equal keys over all entries that have beads, in needle order."""
    entry = entry_places(grid.entries)
    along = keys[grid.needle_order]
    begins = np.ones(grid.count, dtype=bool)
    begins[1:] = (entry[1:] != entry[:-1]) | (along[1:] != along[:-1])
    return float(np.count_nonzero(begins) / len(np.unique(entry)))
