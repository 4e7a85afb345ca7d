"""Cut what lies on the ground into regions of one colour each.

Heaps are full of small contrasts, so colours are compared after smoothing over several beads. The foreground is flooded
from its smoothest places, which gives many small parts, and neighbours are joined while they look alike or the
border between them is faint.
"""

from typing import Any

import numpy as np

from palettes.photo.join_parts import PartLook, join_parts
from shared.arrays import Bools, Floats, Ints

LEAST_CONTRAST = 3.5
"""Lab units from the ground that make a pixel foreground on a perfectly even ground."""
HALF_WAY = 0.45
"""Part of the contrast near by that a pixel needs: it puts an edge where it belongs, however blurred."""
TEXTURE_COUNTS = 3.0
"""How many units of difference in Lab one of roughness stands for."""

_EDGE_OF_STEP = float(np.sqrt(2 * np.pi))
"""A step blurred by a Gaussian of width s rises by its height over this times s in a pixel."""


def texture(lightness: Floats, bare: Bools, width: float) -> Floats:
    """Return how rough each place looks next to the ground, weighed so that it compares with differences in Lab.

    White beads on white paper differ from it in little else. The roughness of a bare edge is narrow, and left out.
    """
    from scipy.ndimage import gaussian_filter, grey_opening

    rough = gaussian_filter(np.abs(lightness - gaussian_filter(lightness, 1.5)), width / 2)
    rough = grey_opening(rough, 2 * round(1.5 * width) + 1, mode="nearest")
    return np.asarray(TEXTURE_COUNTS * np.maximum(rough - 2 * np.median(rough[bare]), 0))


def find_foreground(distance: Floats, noise: float, width: float) -> Bools:
    """Return where something lies on the ground.

    Parameters
    ----------
    distance
        How unlike the ground each pixel is, in Lab units, shape (rows, columns).
    noise
        Its median on bare ground.
    width
        Gaps between beads so narrow in pixels are closed; half of it is the thinnest thing that counts.
    """
    from scipy.ndimage import maximum_filter

    reach = 2 * max(1, round(width)) + 1
    edge = HALF_WAY * maximum_filter(distance, reach, mode="nearest")
    return clean(distance > np.maximum(edge, max(LEAST_CONTRAST, 3.5 * noise)), width)


def clean(mask: Bools, width: float) -> Bools:
    """Return a mask with gaps narrower than ``width`` pixels closed, and what is thinner than half of it taken away."""
    from scipy import ndimage

    reach = max(1, round(width / 2))
    padded = np.pad(mask, reach, mode="edge")
    closed = ndimage.binary_closing(padded, _disc(reach))[reach:-reach, reach:-reach]
    opened = ndimage.binary_opening(closed, _disc(max(1, round(width / 4))))
    return _fill_holes(np.asarray(opened, dtype=bool), 3 * width**2)


def cut_regions(lab: Floats, mask: Bools, width: float) -> Ints:
    """Cut the foreground into regions of one colour.

    Parameters
    ----------
    lab
        CIELAB, balanced, shape (rows, columns, 3).
    mask
        The foreground.
    width
        Standard deviation in pixels of the smoothing.

    Returns
    -------
    ndarray of int64
        0 outside, 1 … n inside, shape (rows, columns).
    """
    from skimage import segmentation

    flood: Any = segmentation.watershed
    smooth = _smooth_inside(lab, mask, width)
    slope = _slope(smooth)
    rough = np.linalg.norm(lab - smooth, axis=-1)
    parts = np.asarray(flood(np.round(slope, 2), mask=mask), dtype=np.int64)
    return join_parts(parts, PartLook(smooth, rough, slope * width * _EDGE_OF_STEP), 1.5 * width)


def _fill_holes(mask: Bools, largest: float) -> Bools:
    from scipy.ndimage import label

    holes = np.asarray(label(~mask)[0])
    sizes = np.bincount(holes.ravel())
    return np.asarray(mask | ((sizes < largest)[holes] & (holes > 0)))


def _disc(radius: int) -> Bools:
    along = np.arange(-radius, radius + 1)
    return np.asarray(along[:, None] ** 2 + along**2 <= radius**2)


def _smooth_inside(lab: Floats, mask: Bools, width: float) -> Floats:
    """Smooth over the foreground alone, so that the ground does not bleed in."""
    from scipy.ndimage import gaussian_filter

    inside = mask.astype(np.float64)
    weight = np.maximum(gaussian_filter(inside, width), 1e-6)
    channels = [gaussian_filter(lab[..., channel] * inside, width) / weight for channel in range(3)]
    return np.stack(channels, axis=-1)


def _slope(smooth: Floats) -> Floats:
    """Return the steepest change of colour at each pixel, in Lab units a pixel."""
    down, across = np.gradient(smooth, axis=(0, 1))
    return np.asarray(np.sqrt((down**2 + across**2).sum(axis=-1)))


def greatest_depths(labels: Ints) -> Floats:
    """Return the radius in pixels of the largest disc inside each label, from 0."""
    most = np.zeros(int(labels.max(initial=0)) + 1)
    np.maximum.at(most, labels.ravel(), depths(labels).ravel())
    return most


def depths(labels: Ints) -> Floats:
    """Return how many pixels each lies from the edge of its own region; edges of the photograph do not count."""
    from scipy.ndimage import distance_transform_edt

    padded = np.pad(labels, 1, mode="edge")
    inner = np.ones(labels.shape, dtype=bool)
    for side in (padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]):
        inner &= side == labels
    return np.asarray(distance_transform_edt(inner & (labels > 0)))
