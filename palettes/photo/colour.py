"""The colour of the beads in a patch, shadow and glint left aside.

A swatch is even, and its mean is its colour. A heap shows each bead from its lit shoulder to the dark gap beside it,
with a white glint on top: its colour is that of the beads' lit side, less the glints. What is used slides from
the one to the other as the lightness scatters more.
"""

import numpy as np

from shared.arrays import Floats
from shared.colour import lab_from_linear

EVEN, SHADED = 2.0, 6.0
"""Scatter of L* (half of the middle half's range) of a swatch, and of a heap seen bead by bead."""
SWATCH = (0.10, 0.90)
DARK_HEAP, LIGHT_HEAP = (0.40, 0.70), (0.80, 0.96)
"""Between these ranks of lightness lie the pixels that count. Glints add the same light to dark beads as to light ones,
so they spoil dark ones from further down; shade takes a share, so it costs light ones more."""
DARK, LIGHT = 20.0, 70.0
"""Median L* of a dark and of a light heap."""
PUREST = 0.5
"""Part of a heap's pixels, the least whitened, that is free from the rims of glints."""


def bead_colour(linear: Floats) -> Floats:
    """Return the linear light of a patch's beads, shape (3,).

    Parameters
    ----------
    linear
        Balanced linear light of the pixels well inside it, shape (n, 3).
    """
    lightness = lab_from_linear(linear)[:, 0]
    heap = _heapness(lightness)
    low, high = np.quantile(lightness, _between(SWATCH, _heap_window(lightness), heap))
    kept = linear[(lightness >= low) & (lightness <= high)]
    white = kept.min(axis=1) / np.maximum(kept.sum(axis=1), 1e-6)
    return np.asarray(kept[white <= np.quantile(white, 1 - (1 - PUREST) * heap)].mean(axis=0))


def _heapness(lightness: Floats) -> float:
    """Return 0 for a swatch, 1 for a heap."""
    quarter, three_quarters = np.quantile(lightness, [0.25, 0.75])
    return float(np.clip(((three_quarters - quarter) / 2 - EVEN) / (SHADED - EVEN), 0, 1))


def _heap_window(lightness: Floats) -> tuple[float, float]:
    return _between(DARK_HEAP, LIGHT_HEAP, float(np.clip((np.median(lightness) - DARK) / (LIGHT - DARK), 0, 1)))


def _between(one: tuple[float, float], other: tuple[float, float], share: float) -> tuple[float, float]:
    return one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])
