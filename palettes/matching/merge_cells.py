"""Equal and near cells merged, so that a search has fewer to look at."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats, Ints
from shared.nearest_colour import pack

GRAINS = (0.01, 0.5, 1.0, 2.0, 4.0, 8.0)
"""Lab units within which cells of one size are merged: the first that leaves few enough."""


class Points(NamedTuple):
    """Cells of one size and nearly one colour, as one."""

    lab: Floats
    """CIELAB, shape (points, 3)."""
    levels: Ints
    """Their level, shape (points,)."""
    weights: Ints
    """How many cells each stands for, shape (points,)."""


def merge_cells(cells_lab: Floats, levels: Ints, *, most: int) -> Points:
    """Merge cells; the result does not depend on their order.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    levels
        The level of each, shape (cells,).
    most
        How many points come back at most, unless the coarsest grain leaves more.
    """
    rounded = np.round(cells_lab / GRAINS[0])
    _, first, counts = np.unique(_keys(rounded, levels), return_index=True, return_counts=True)
    points = Points(rounded[first] * GRAINS[0], levels[first], counts.astype(np.int64))
    return merge_points(points, GRAINS[1:], most=most)


def merge_points(points: Points, grains: Sequence[float], *, most: int) -> Points:
    """Merge points within one grain (Lab units) after the other, until there are at most ``most``."""
    for grain in grains:
        if len(points.lab) <= most:
            break
        points = _group(points, grain)
    return points


def weighted_means(labs: Floats, weights: NDArray[np.number], groups: Ints, count: int) -> Floats:
    """Return the weighted mean of the colours of each group, shape (count, 3); not a number where it is empty."""
    totals = np.bincount(groups, weights, count)
    sums = np.stack([np.bincount(groups, weights * axis, count) for axis in labs.T], axis=1)
    with np.errstate(invalid="ignore"):
        return np.asarray(sums / totals[:, None])


def _group(points: Points, grain: float) -> Points:
    keys = _keys(np.round(points.lab / grain), points.levels)
    _, first, group = np.unique(keys, return_index=True, return_inverse=True)
    means = weighted_means(points.lab, points.weights, group, len(first))
    return Points(means, points.levels[first], np.bincount(group, points.weights).astype(np.int64))


def _keys(steps: Floats, levels: Ints) -> Ints:
    """Return one whole number for each colour in a level, in the order of level, then of the three steps."""
    keys = pack(steps)
    if not levels.any():
        return keys
    # Packed steps fill nearly all bits, so that levels find room only above their ranks.
    different, ranks = np.unique(keys, return_inverse=True)
    return np.asarray(levels * len(different) + ranks.reshape(-1))
