"""From heights to bead sizes: levels, then the size-step rule."""

import numpy as np
from numpy.typing import NDArray

from convert.options import Slopes
from shared.arrays import Ints
from shared.needle import Lattice

Floats = NDArray[np.float64]

_GRAIN = 1e-6


def equal_thresholds(levels: int) -> tuple[float, ...]:
    """Return the heights that cut 0 … 1 into as many equal levels as there are levels.

    Examples
    --------
    >>> equal_thresholds(4)
    (0.25, 0.5, 0.75)
    """
    return tuple(step / levels for step in range(1, levels))


def cut_levels(heights: Floats, thresholds: tuple[float, ...]) -> Ints:
    """Return the level of each bead: how many thresholds its height reaches.

    Parameters
    ----------
    heights
        0 … 1, shape (beads,). Compared to a millionth, so that rounding does not decide.
    thresholds
        Rising.
    """
    return np.searchsorted(np.asarray(thresholds), heights + _GRAIN, side="right").astype(np.int64)


def keep_size_step_rule(wanted: Ints, grid: Lattice, *, slopes: Slopes) -> Ints:
    """Change levels as little as possible so that beads in contact differ by at most one.

    Both policies are distance transforms on the graph of contacts. ``ground`` gives the highest field that
    never exceeds the wanted one: the least, over all beads, of wanted level plus steps from there. ``peak``
    gives the lowest field never under it: the greatest of wanted level less steps.

    Parameters
    ----------
    wanted
        Levels from 0, shape (beads,).
    grid
        The lattice.
    slopes
        Which of the two.
    """
    sign = 1 if slopes == "trim" else -1
    field = sign * wanted
    while True:
        reached = np.minimum(field, _least_neighbour(field, grid) + 1)
        if np.array_equal(reached, field):
            return sign * field
        field = reached


def _least_neighbour(field: Ints, grid: Lattice) -> Ints:
    """Return the least value among the beads that each bead touches."""
    far = np.iinfo(np.int64).max // 2
    padded = np.append(field, far)
    least = np.full(field.size, far)
    for beside in grid.neighbours.T:
        np.minimum(least, padded[beside], out=least)
    return least
