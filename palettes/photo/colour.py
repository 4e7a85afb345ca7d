"""The colour of the beads in a patch, shadow and glint left aside.

A swatch is even, and its mean is its colour. A heap shows each bead from its lit shoulder to the dark gap beside it,
with a white glint on top: its colour is that of the beads' lit side, the brighter half of the pixels less the
glints. The share that is used slides from the one to the other as the lightness scatters more.
"""

import numpy as np

from palettes.photo.values import Floats
from shared.colour import lab_from_linear

EVEN, SHADED = 2.0, 8.0
"""Scatter of L* (half of the middle half's range) of a swatch, and of a heap seen bead by bead."""
SWATCH_WINDOW, HEAP_WINDOW = (0.10, 0.90), (0.45, 0.90)
"""Between these ranks of lightness lie the pixels that count."""


def bead_colour(linear: Floats) -> Floats:
    """Return the linear light of a patch's beads, shape (3,).

    Parameters
    ----------
    linear
        Balanced linear light of the pixels well inside it, shape (n, 3).
    """
    lab = lab_from_linear(linear)
    lightness = lab[:, 0]
    low, high = np.quantile(lightness, _window(lightness))
    kept = (lightness >= low) & (lightness <= high)
    return np.asarray(linear[kept][_of_common_hue(lab[kept])].mean(axis=0))


def _window(lightness: Floats) -> Floats:
    quarter, three_quarters = np.quantile(lightness, [0.25, 0.75])
    share = np.clip(((three_quarters - quarter) / 2 - EVEN) / (SHADED - EVEN), 0, 1)
    return (1 - share) * np.array(SWATCH_WINDOW) + share * np.array(HEAP_WINDOW)


def _of_common_hue(lab: Floats) -> Floats:
    """Tell which pixels have the chromaticity that most have: the rims of glints are greyer."""
    chromatic = lab[:, 1:] / np.maximum(lab[:, :1] + 16, 1)
    away = np.linalg.norm(chromatic - np.median(chromatic, axis=0), axis=1)
    return np.asarray(away <= np.quantile(away, 0.75))
