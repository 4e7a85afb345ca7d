"""Number patches as one reads them: rows from the top, each from left to right."""

import numpy as np

from shared.arrays import Floats, Ints

STEEPEST = 0.3
"""A row that climbs by more than this is no row."""


def reading_order(centres: Floats, heights: Floats) -> Ints:
    """Return which patch comes first, second, …; a photograph may be somewhat askew.

    Parameters
    ----------
    centres
        x and y of each patch, shape (n, 2), y down.
    heights
        How high each is, shape (n,).

    Examples
    --------
    >>> reading_order(np.array([[9.0, 1.5], [1.0, 1.0], [1.0, 9.0]]), np.array([2.0, 2.0, 2.0])).tolist()
    [1, 0, 2]
    """
    level = centres[:, 1] - _tilt(centres) * centres[:, 0]
    rows: list[list[int]] = []
    for patch in np.argsort(level, kind="stable").tolist():
        if rows and level[patch] - np.mean(level[rows[-1]]) <= 0.5 * float(np.median(heights)):
            rows[-1].append(patch)
        else:
            rows.append([patch])
    return np.array([patch for row in rows for patch in sorted(row, key=lambda one: centres[one, 0])], dtype=np.int64)


def _tilt(centres: Floats) -> float:
    """Return the median slope from each patch to the nearest one on its right that lies about level with it."""
    slopes = []
    for centre in centres:
        across, down = (centres - centre).T
        level = (across > 0) & (np.abs(down) <= STEEPEST * across)
        if level.any():
            nearest = np.where(level, across, np.inf).argmin()
            slopes.append(down[nearest] / across[nearest])
    return float(np.median(slopes)) if slopes else 0.0
