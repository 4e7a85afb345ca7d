"""One ink is one colour: shades that differ only by how much ground shows between them fall together."""

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats
from shared.colour import lab_from_linear, linear_from_lab
from shared.nearest_colour import pack

SIGMA = 8.0
"""How alike two inks must be to draw each other near, Lab units."""

MOST_SHADES = 400
"""Colours nearer than a grain are taken together first; the grain grows until there are no more than this."""

_GRAINS = (0.5, 1.0, 2.0, 4.0, 8.0)
_ROUNDS = 30
_ONE = 2.0


def evened(linear: Floats) -> Floats:
    """Move each colour to the middle of the crowd that it belongs to.

    A mean shift with a Gaussian kernel in Lab (see `convert.cells.logo.logo_cells`), with as many crowds as there are.

    Parameters
    ----------
    linear
        Linear light, shape (beads, 3).

    Returns
    -------
    ndarray
        The same shape, with few different colours.
    """
    if not len(linear):
        return linear
    lab = lab_from_linear(linear)
    shades, weights, of = _shades(lab)
    found = shades.copy()
    for _ in range(_ROUNDS):
        near = weights * np.exp(-((found[:, None] - shades) ** 2).sum(axis=2) / (2 * SIGMA**2))
        found = (near[..., None] * shades).sum(axis=1) / near.sum(axis=1)[:, None]
    return np.maximum(linear_from_lab(_joined(found, weights)[of]), 0)


def _shades(lab: Floats) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Take near colours together; return their means, how many each stands for, and the one of each colour."""
    for grain in _GRAINS:
        _, of, counts = np.unique(pack(np.round(lab / grain)), return_inverse=True, return_counts=True)
        if len(counts) <= MOST_SHADES:
            break
    means = np.stack([np.bincount(of, axis) for axis in lab.T], axis=1) / counts[:, None]
    return means, counts.astype(np.float64), of


def _joined(found: Floats, weights: Floats) -> Floats:
    """Give all that came to nearly one place exactly one."""
    found = found.copy()
    free = np.ones(len(found), dtype=bool)
    for heavy in np.argsort(-weights, kind="stable"):
        if free[heavy]:
            same = free & (((found - found[heavy]) ** 2).sum(axis=1) <= _ONE**2)
            found[same] = found[heavy]
            free &= ~same
    return found
