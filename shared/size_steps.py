"""The size-step rule: beads that touch differ by at most one size."""

from typing import Literal

import numpy as np

from shared.arrays import Ints
from shared.needle import Lattice

LARGEST_STEP = 1
"""Sizes that beads which touch may differ by."""


def keep_size_step_rule(wanted: Ints, grid: Lattice, *, slopes: Literal["trim", "widen"]) -> Ints:
    """Change levels as little as possible so that beads in contact differ by at most one.

    Both slopes are distance transforms on the graph of contacts. ``trim`` gives the highest field that
    never exceeds the wanted one: the least, over all beads, of wanted level plus steps from there. ``widen``
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
        reached = np.minimum(field, _least_neighbour(field, grid) + LARGEST_STEP)
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
