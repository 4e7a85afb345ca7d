"""Moves the colours of a palette to where the summed CIEDE2000 of the cells is least."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.ciede2000 import ciede2000, difference_table
from shared.nearest_colour import nearest_colours

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_MOST_ROUNDS = 30
_WORTH_KEEPING = 1 - 1e-4
_MOST_EXCHANGES = 12
_TRIAL_ROUNDS = 5
_WORTH_A_LONGER_TRIAL = 1 + 3e-3
_WORTH_AN_EXCHANGE = 1 - 5e-4
_NEWCOMERS = 64


class Centres(NamedTuple):
    """Colours, and how well they serve."""

    lab: Floats
    """Shape (colours, 3)."""
    total: float
    """Weighted sum of CIEDE2000 of the points to their nearest."""


def weighted_means(points: Floats, weights: Floats, labels: Ints, groups: int) -> Floats:
    """Return the weighted mean of the points of each group, shape (groups, 3); not a number where it is empty."""
    total = np.bincount(labels, weights, groups)
    sums = np.stack([np.bincount(labels, weights * axis, groups) for axis in points.T], axis=1)
    with np.errstate(invalid="ignore"):
        return np.asarray(sums / total[:, None])


def moved_to_medians(points: Floats, weights: Floats, centres: Floats, *, most_rounds: int = _MOST_ROUNDS) -> Centres:
    """Move centres to medians under CIEDE2000, assigning anew in each round, and keep the best state seen.

    Weiszfeld's iteration for the point of least summed distance (E. Weiszfeld, Tohoku Mathematical
    Journal 43, 1937): a mean in which each point weighs the inverse of its distance.

    Parameters
    ----------
    points
        CIELAB, shape (points, 3).
    weights
        How many cells each stands for, shape (points,).
    centres
        Where to begin, shape (colours, 3).
    most_rounds
        When to stop at the latest.
    """
    best, idle = Centres(centres, np.inf), 0
    for _ in range(most_rounds):
        labels, errors = nearest_colours(points, centres)
        total = float((errors * weights).sum())
        idle = 0 if total < best.total * _WORTH_KEEPING else idle + 1
        if total < best.total:
            best = Centres(centres, total)
        if idle == 2:
            break
        centres = _towards_medians(points, weights, labels, centres)
    return best


def exchanged(points: Floats, weights: Floats, start: Centres) -> Centres:
    """Take out the colour that is missed least, put one in where it helps most, as long as the sum falls.

    K-means and medians only find the nearest valley; this steps over to better ones. A trial that has not come
    close to the state before it within a few rounds is given up.
    """
    for _ in range(_MOST_EXCHANGES):
        found = _one_exchange(points, weights, start)
        if found is None:
            return start
        start = found
    return start


def newcomer(points: Floats, weights: Floats, served: Floats) -> Floats:
    """Return the point, among those served worst, that lowers the sum most as a colour of its own.

    Parameters
    ----------
    points, weights
        As for `moved_to_medians`.
    served
        CIEDE2000 of each point to the nearest colour there is, shape (points,).

    Returns
    -------
    ndarray
        Shape (3,).
    """
    candidates = points[np.argsort(-(weights * served), kind="stable")[:_NEWCOMERS]]
    spared = np.maximum(served[:, None] - difference_table(points, candidates), 0)
    return np.asarray(candidates[(weights[:, None] * spared).sum(axis=0).argmax()])


def _one_exchange(points: Floats, weights: Floats, start: Centres) -> Centres | None:
    table = difference_table(points, start.lab).astype(np.float64)
    closest = np.partition(table, 1, axis=1) if len(start.lab) > 1 else np.repeat(table, 2, axis=1)
    missed = np.bincount(table.argmin(axis=1), weights * (closest[:, 1] - closest[:, 0]), len(start.lab))
    for leaving in np.argsort(missed, kind="stable")[: min(3, len(start.lab) - 1)]:
        rest = np.delete(table, leaving, axis=1).min(axis=1)
        centres = start.lab.copy()
        centres[leaving] = newcomer(points, weights, rest)
        found = moved_to_medians(points, weights, centres, most_rounds=_TRIAL_ROUNDS)
        if found.total < start.total * _WORTH_A_LONGER_TRIAL:
            found = moved_to_medians(points, weights, found.lab)
        if found.total < start.total * _WORTH_AN_EXCHANGE:
            return found
    return None


def _towards_medians(points: Floats, weights: Floats, labels: Ints, centres: Floats) -> Floats:
    for _ in range(2):
        pull = weights / np.maximum(ciede2000(points, centres[labels]), 0.05)
        moved = weighted_means(points, pull, labels, len(centres))
        centres = np.where(np.isfinite(moved), moved, centres)
    return centres
