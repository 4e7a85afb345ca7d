"""The colour of the beads at points of a photograph.

A swatch is even, and its mean is its colour. A heap shows each bead from its lit shoulder to the dark gap next to it,
with a white glint on top: its colour is that of the beads' lit side, less the glints. What is used slides from
the one to the other as the lightness scatters more.
"""

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple

import numpy as np

from palettes.photo_light import Caution, Codes, PhotoLight, light_of, region_around
from shared.arrays import Floats
from shared.ciede2000 import ciede2000
from shared.colour import lab_from_linear

LEAST_REACH, REACH = 1 / 80, 1 / 10
"""Smallest and largest radius of the disc in which beads are looked at, in parts of the photograph's longest side."""
ALIKE = 4.0, 9.0
"""CIEDE2000 from the middle at which the disc ends, in colours smoothed over some beads: of a swatch, of a heap."""
MIXED = 15.0
"""Spread that says that beads differ: heaps of one colour have 5 … 11, of two far apart 20 and more."""
EVEN, SHADED = 2.0, 6.0
"""Scatter of L* (half of the middle half's range) of a swatch, and of a heap seen bead by bead."""
SWATCH, DARK_HEAP, LIGHT_HEAP = np.array([[0.10, 0.90], [0.40, 0.70], [0.80, 0.96]])
"""Between these ranks of lightness lie the pixels that count. Glints add the same light to dark beads as to light ones,
so they spoil dark ones from further down; shade takes a share, so it costs light ones more."""
DARK, LIGHT = 20.0, 70.0
"""Median L* of a dark and of a light heap."""
PUREST = 0.5
"""Part of a heap's pixels, the least whitened, that is free from the rims of glints."""
_WINDOW = 240
"""Pixels a side, about, of the part of a photograph that is looked at round a point."""


class Spot(NamedTuple):
    """The beads at one point."""

    x: int
    y: int
    radius: int
    """Of the disc that was looked at, in pixels of the photograph."""
    lab: Floats
    """CIELAB (D65) of its beads, shape (3,)."""
    spread: float
    """Median CIEDE2000 of the disc's pixels from that: about 1 on a swatch, 5 … 20 on a heap."""


def read_spots(
    codes: Codes, points: Sequence[tuple[int, int]], light: PhotoLight
) -> tuple[tuple[Spot, ...], tuple[Caution, ...]]:
    """Read the colour of the beads at each point, and say what makes it unsure; errors as `read_spot`."""
    spots = tuple(read_spot(codes, point, light) for point in points)
    size = np.array(codes.shape[1::-1])
    mixed = [
        Caution("mixed", 0, f"beads of several colours lie at point {number}; it has the colour of some of them")
        for number, spot in enumerate(spots, 1)
        if spot.spread > MIXED
    ]
    shared = [
        Caution("shared", 0, f"points {number} and {other} lie on one heap")
        for (number, one), (other, two) in combinations(enumerate(spots, 1), 2)
        if np.hypot(one.x - two.x, one.y - two.y) < one.radius + two.radius and ciede2000(one.lab, two.lab) < ALIKE[1]
    ]
    return spots, (*light.cautions_at(np.array(points) / size), *mixed, *shared)


def read_spot(codes: Codes, point: tuple[int, int], light: PhotoLight) -> Spot:
    """Read the colour at one point (x, y): of a disc that grows round it while what it takes in looks alike.

    Raises
    ------
    BadChoiceError
        When the point does not lie in the photograph.
    """
    from scipy.ndimage import gaussian_filter

    longest = max(codes.shape[:2])
    least, most = max(2.0, longest * LEAST_REACH), max(6, round(longest * REACH))
    left, top, width, height = region_around(codes, point, most)
    step = max(1, max(width, height) // _WINDOW)
    seen = light_of(codes[top : top + height : step, left : left + width : step])
    down, across = np.mgrid[: seen.shape[0], : seen.shape[1]] * step
    away = np.hypot(left + across - point[0], top + down - point[1])
    strength = light.at(point[0] / codes.shape[1], point[1] / codes.shape[0])
    # No bead is lighter than white, whatever was said to be paper.
    even = np.clip(seen / strength @ light.matrix.T, 0, 1)
    # Smoothed over some beads, so that neither a glint nor a gap between beads ends the disc.
    soft = lab_from_linear(gaussian_filter(even, (least / step, least / step, 0), mode="nearest"))
    middle = soft.reshape(-1, 3)[away.argmin()]
    grain = float(np.median(ciede2000(lab_from_linear(even[away <= least]), middle)))
    unlike = ciede2000(soft, middle) > np.clip(grain, *ALIKE)
    radius = max(least, float(away[unlike].min(initial=most)))
    linear = even[away <= radius]
    lab = lab_from_linear(bead_colour(linear))
    return Spot(*point, round(radius), lab, float(np.median(ciede2000(lab_from_linear(linear), lab))))


def bead_colour(linear: Floats) -> Floats:
    """Return the linear light of beads, shape (3,), from that of pixels among them in white light, shape (n, 3)."""
    lightness = lab_from_linear(linear)[:, 0]
    quarter, middle, three_quarters = np.quantile(lightness, [0.25, 0.5, 0.75])
    heap = np.clip(((three_quarters - quarter) / 2 - EVEN) / (SHADED - EVEN), 0, 1)
    window = DARK_HEAP + np.clip((middle - DARK) / (LIGHT - DARK), 0, 1) * (LIGHT_HEAP - DARK_HEAP)
    low, high = np.quantile(lightness, SWATCH + heap * (window - SWATCH))
    kept = linear[(lightness >= low) & (lightness <= high)]
    white = kept.min(axis=1) / np.maximum(kept.sum(axis=1), 1e-6)
    return np.asarray(kept[white <= np.quantile(white, 1 - (1 - PUREST) * heap)].mean(axis=0))
