"""Steps from one palette to a better one that no small move of its colours would reach."""

import numpy as np
from numpy.typing import NDArray

from shared.ciede2000 import difference_table

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_MOST_SWAPS = 60
_WORTH_A_SWAP = 1e-4


def swapped(points: Floats, weights: Floats, palette: Floats, candidates: Floats, *, held: int = 0) -> Floats:
    """Swap colours of a palette for candidates, the best swap first, as long as the summed CIEDE2000 falls.

    All swaps are weighed together: what a newcomer spares does not depend on who leaves, except at the points
    that the leaving colour served (E. Schubert and P. J. Rousseeuw, "Fast and eager k-medoids clustering",
    Information Systems 101, 2021).

    Parameters
    ----------
    points
        CIELAB, shape (points, 3).
    weights
        How many cells each stands for, shape (points,).
    palette
        Where to begin, shape (colours, 3).
    candidates
        What may come in, shape (candidates, 3).
    held
        So many colours at the beginning of the palette stay.

    Returns
    -------
    ndarray
        Shape (colours, 3).
    """
    offered = difference_table(points, candidates)
    table = difference_table(points, palette)
    palette = palette.copy()
    for _ in range(_MOST_SWAPS):
        costs = _costs_of_swaps(table, offered, weights)
        costs[:held] = np.inf
        leaving, coming = np.unravel_index(costs.argmin(), costs.shape)
        now = float((weights * table.min(axis=1)).sum())
        if costs[leaving, coming] > -_WORTH_A_SWAP * now:
            break
        palette[leaving] = candidates[coming]
        table[:, leaving] = offered[:, coming]
    return palette


def _costs_of_swaps(table: NDArray[np.float32], offered: NDArray[np.float32], weights: Floats) -> Floats:
    """Return by how much the weighted sum of differences would rise, shape (colours, candidates)."""
    colours = table.shape[1]
    served_by = table.argmin(axis=1)
    order = np.argsort(served_by, kind="stable")
    two = (
        np.partition(table, 1, axis=1)[order] if colours > 1 else np.column_stack([table, np.full(len(table), np.inf)])
    )
    heavy = weights[order, None].astype(np.float32)
    offered = offered[order]
    spared = np.minimum(offered - two[:, :1], 0) * heavy
    missed = np.maximum(np.minimum(offered, two[:, 1:2]) - two[:, :1], 0) * heavy
    costs = np.tile(spared.sum(axis=0, dtype=np.float64), (colours, 1))
    served, first = np.unique(served_by[order], return_index=True)
    costs[served] += np.add.reduceat(missed, first, axis=0, dtype=np.float64)
    return costs
