"""Beads that touch, gathered into groups: the raised ones of a work are its domes."""

import numpy as np
from numpy.typing import NDArray

from shared.grid import Grid, Ints

Bools = NDArray[np.bool_]


def raised_beads(levels: Ints) -> Bools:
    """Tell which beads stand above the lowest rung of the work, shape (beads,)."""
    return np.asarray(levels > levels.min())


def touching_groups(grid: Grid, chosen: Bools) -> list[Ints]:
    """Gather chosen beads into groups that hang together by contacts.

    Parameters
    ----------
    grid
        The lattice.
    chosen
        Which beads count, shape (beads,).

    Returns
    -------
    list
        The beads of each group in rising order; groups in the order of their first beads.
    """
    members = chosen.nonzero()[0]
    if not members.size:
        return []
    label = _labels(grid, chosen, members)
    order = np.argsort(label, kind="stable")
    return np.split(members[order], np.flatnonzero(np.diff(label[order])) + 1)


def _labels(grid: Grid, chosen: Bools, members: Ints) -> Ints:
    """Return for each member the lowest bead of its group: the lowest is passed on until nothing changes.

    Each bead points to a lower one of its group; after a passing on, pointers are followed to their ends, so that
    a long group takes few turns.
    """
    beside = grid.neighbours[members]
    beside = np.where((beside >= 0) & chosen[beside], beside, members[:, None])
    lowest = np.arange(grid.count)
    while True:
        passed = lowest[beside].min(axis=1)
        if (passed == lowest[members]).all():
            return lowest[members]
        np.minimum.at(lowest, lowest[members], passed)
        while (lowest != lowest[lowest]).any():
            lowest = lowest[lowest]
