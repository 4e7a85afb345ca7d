"""Equal and near cells merged, so that the search has fewer to look at."""

from typing import NamedTuple

import numpy as np

from shared.arrays import Floats, Ints

GRAINS = (0.01, 0.5, 1.0, 2.0, 4.0, 8.0)
"""Lab units within which cells of one size are merged: the first that leaves few enough."""

_AXIS_BITS = 18


class Points(NamedTuple):
    """Cells of one size and nearly one colour, as one."""

    lab: Floats
    """CIELAB, shape (points, 3)."""
    levels: Ints
    """Their level, shape (points,)."""
    weights: Ints
    """How many cells each stands for, shape (points,)."""


def merged(cells_lab: Floats, levels: Ints, *, most: int) -> Points:
    """Merge cells; the result does not depend on their order.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    levels
        The level of each, shape (cells,).
    most
        So many points come back at the most, unless the coarsest grain leaves more.
    """
    rounded = np.round(cells_lab / GRAINS[0])
    _, first, counts = np.unique(_keys(rounded, levels), return_index=True, return_counts=True)
    points = Points(rounded[first] * GRAINS[0], levels[first], counts.astype(np.int64))
    for grain in GRAINS[1:]:
        if len(points.lab) <= most:
            break
        points = _grouped(points, grain)
    return points


def _grouped(points: Points, grain: float) -> Points:
    keys = _keys(np.round(points.lab / grain), points.levels)
    _, first, group = np.unique(keys, return_index=True, return_inverse=True)
    weights = np.bincount(group, points.weights)
    sums = np.stack([np.bincount(group, points.weights * axis) for axis in points.lab.T], axis=1)
    return Points(sums / weights[:, None], points.levels[first], weights.astype(np.int64))


def _keys(steps: Floats, levels: Ints) -> Ints:
    """Pack a level and three whole numbers into one, so that equal ones are found fast."""
    keys = levels.astype(np.int64)
    for axis in steps.T:
        keys = (keys << _AXIS_BITS) + axis.astype(np.int64) + (1 << (_AXIS_BITS - 1))
    return keys
