"""Colours moved to the middle of the crowd they belong to: a mean shift with a Gaussian kernel in Lab.

Source: D. Comaniciu and P. Meer, "Mean Shift: A Robust Approach Toward Feature Space Analysis", IEEE Transactions on
Pattern Analysis and Machine Intelligence 24(5), 2002.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from palettes.matching.merge_cells import weighted_means
from shared.arrays import Floats
from shared.colour import lab_from_linear, linear_from_lab
from shared.nearest_colour import pack

SIGMA = 8.0
"""How alike two inks must be to draw each other near, Lab units."""

MOST_SHADES = 400
"""Colours nearer than a grain are taken together first; the grain grows until there are at most this many."""

_GRAINS = (0.5, 1.0, 2.0, 4.0, 8.0)
_STEPS = 30
_ONE = 2.0
_LEAST = 1e-12


def shift_means(start_lab: Floats, samples_lab: Floats, weights: Floats, sigmas: Iterable[float]) -> Floats:
    """Move each colour again and again to the mean of the samples that are like it.

    Parameters
    ----------
    start_lab
        Shape (n, 3).
    samples_lab
        Those of each, shape (n, samples, 3), or of all, shape (1, samples, 3).
    weights
        Above 0, shape (n, samples) or (samples,).
    sigmas
        How alike a sample must be to count, step by step, Lab units.

    Returns
    -------
    ndarray
        Shape (n, 3).
    """
    found = start_lab
    for sigma in sigmas:
        off = ((samples_lab - found[:, None]) ** 2).sum(axis=2)
        # A colour with no sample near it would divide by zero; so far samples count a little, all alike.
        pull = weights * (np.exp(-off / (2 * sigma**2)) + _LEAST)
        found = (pull[..., None] * samples_lab).sum(axis=1) / pull.sum(axis=1)[:, None]
    return found


def unify_shades(linear: Floats) -> Floats:
    """Make one colour of shades of one ink, which differ only by how much ground shows between them.

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
    shades, weights, shade_of = _take_together(lab)
    found = shift_means(shades, shades[None], weights, [SIGMA] * _STEPS)
    return np.maximum(linear_from_lab(_join(found, weights)[shade_of]), 0)


def _take_together(lab: Floats) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Take near colours together; return their means, how many each stands for, and the one of each colour."""
    for grain in _GRAINS:
        _, of, counts = np.unique(pack(np.round(lab / grain)), return_inverse=True, return_counts=True)
        if len(counts) <= MOST_SHADES:
            break
    return weighted_means(lab, np.ones(len(lab)), of, len(counts)), counts.astype(np.float64), of


def _join(found: Floats, weights: Floats) -> Floats:
    """Give all that came to nearly one place exactly one."""
    found = found.copy()
    free = np.ones(len(found), dtype=bool)
    for heavy in np.argsort(-weights, kind="stable"):
        if free[heavy]:
            same = free & (((found - found[heavy]) ** 2).sum(axis=1) <= _ONE**2)
            found[same] = found[heavy]
            free &= ~same
    return found
