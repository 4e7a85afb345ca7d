"""Cut what lies on the ground into regions of one colour each.

Heaps are full of small contrasts, so colours are compared after smoothing over several beads. The foreground is flooded
from its smoothest places, which gives many small parts, and neighbours are joined while they look alike or the
border between them is faint.
"""

from typing import NamedTuple

import numpy as np

from palettes.photo.values import Floats, Ints, Mask

ALIKE = 8.0
"""Lab units below which neighbours are one heap: wider than shading, narrower than shop colours side by side."""
SHADE_COUNTS = 0.6
"""How much of a difference is counted that more or less light on one colour could make."""
ROUGH_COUNTS = 0.5
"""How much of two parts' roughness is added to what is alike: of large beads smoothing leaves some contrast."""
LEAST_CONTRAST = 3.5
"""Lab units from the ground that make a pixel foreground on a perfectly even ground."""

_EDGE_OF_STEP = float(np.sqrt(2 * np.pi))
"""A step blurred by a Gaussian of width s rises by its height over this times s in a pixel."""


class _Look(NamedTuple):
    """What decides on joining, at each pixel."""

    smooth: Floats
    """Lab, smoothed, shape (rows, columns, 3)."""
    rough: Floats
    """How far the photograph lies from that, in Lab units."""
    step: Floats
    """Height of the colour step that would make the slope here, in Lab units."""


class _Borders(NamedTuple):
    """Where two parts meet, one entry for each pair of parts."""

    one: Ints
    other: Ints
    step: Floats
    """Mean height of the colour step across, in Lab units."""


def foreground(distance: Floats, noise: float, width: float) -> Mask:
    """Return where something lies on the ground.

    Parameters
    ----------
    distance
        Lab distance of each pixel from the ground, shape (rows, columns).
    noise
        Its median on bare ground.
    width
        Gaps between beads so narrow in pixels are closed; half of it is the thinnest thing that counts.
    """
    return cleaned(distance > max(LEAST_CONTRAST, 3.5 * noise), width)


def cleaned(mask: Mask, width: float) -> Mask:
    """Return a mask with gaps narrower than ``width`` pixels closed, and what is thinner than half of it taken away."""
    from scipy import ndimage
    from skimage.morphology import disk

    reach = max(1, round(width / 2))
    padded = np.pad(mask, reach, mode="edge")
    closed = ndimage.binary_closing(padded, disk(reach))[reach:-reach, reach:-reach]
    opened = ndimage.binary_opening(closed, disk(max(1, round(width / 4))))
    return _without_holes(np.asarray(opened, dtype=bool), 3 * width**2)


def cut_regions(lab: Floats, mask: Mask, width: float) -> Ints:
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
    from skimage.segmentation import watershed

    smooth = _smoothed_inside(lab, mask, width)
    slope = _slope(smooth)
    rough = np.linalg.norm(lab - smooth, axis=-1)
    parts = np.asarray(watershed(np.round(slope, 2), mask=mask), dtype=np.int64)
    return _joined(parts, _Look(smooth, rough, slope * width * _EDGE_OF_STEP), width)


def _without_holes(mask: Mask, largest: float) -> Mask:
    from skimage.measure import label

    holes = label(~mask, connectivity=1)
    sizes = np.bincount(holes.ravel())
    return mask | ((sizes < largest)[holes] & (holes > 0))


def _smoothed_inside(lab: Floats, mask: Mask, width: float) -> Floats:
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


def _joined(parts: Ints, look: _Look, width: float) -> Ints:
    """Join parts in rounds: first those that look alike, then what is too thin to be a heap of its own."""
    labels = parts
    for thin_too in (False, True):
        while True:
            renumbered = _one_round(labels, look, width, thin_too=thin_too)
            if renumbered.max(initial=0) == labels.max(initial=0):
                break
            labels = renumbered
    return labels


def _one_round(labels: Ints, look: _Look, width: float, *, thin_too: bool) -> Ints:
    """Join each pair of which both like the other best, if they are alike enough."""
    borders = _borders(labels, look.step)
    means, rough = _means(labels, look.smooth), _means(labels, look.rough[..., None])[:, 0]
    cost = np.minimum(_unlikeness(means[borders.one], means[borders.other]), borders.step)
    allowed = cost < ALIKE + ROUGH_COUNTS * np.minimum(rough[borders.one], rough[borders.other])
    if thin_too:
        thin = deepest(labels) < 1.5 * width
        allowed |= thin[borders.one] | thin[borders.other]
    return _united(labels, borders.one[allowed], borders.other[allowed], cost[allowed])


def _borders(labels: Ints, step: Floats) -> _Borders:
    count = int(labels.max()) + 1
    keys, steps = [], []
    for one, other, height in (
        (labels[:, :-1], labels[:, 1:], np.maximum(step[:, :-1], step[:, 1:])),
        (labels[:-1], labels[1:], np.maximum(step[:-1], step[1:])),
    ):
        meet = (one != other) & (one > 0) & (other > 0)
        keys.append(np.minimum(one, other)[meet] * count + np.maximum(one, other)[meet])
        steps.append(height[meet])
    pairs, which = np.unique(np.concatenate(keys), return_inverse=True)
    total = np.bincount(which, np.concatenate(steps), len(pairs))
    return _Borders(pairs // count, pairs % count, total / np.maximum(np.bincount(which, minlength=len(pairs)), 1))


def _means(labels: Ints, values: Floats) -> Floats:
    sizes = np.maximum(np.bincount(labels.ravel()), 1)
    return np.stack([np.bincount(labels.ravel(), values[..., c].ravel()) / sizes for c in range(values.shape[-1])], axis=1)


def _unlikeness(one: Floats, other: Floats) -> Floats:
    """Return how far colours lie apart in Lab, less along the way on which shade moves a colour, shape (n,)."""
    away = other - one
    shade = one + other + np.array([32.0, 0, 0])
    shade /= np.linalg.norm(shade, axis=1, keepdims=True)
    along = (away * shade).sum(axis=1)
    return np.asarray(np.sqrt(np.maximum((away**2).sum(axis=1) - (1 - SHADE_COUNTS**2) * along**2, 0)))


def deepest(labels: Ints) -> Floats:
    """Return the radius in pixels of the largest disc inside each label, from 0."""
    most = np.zeros(int(labels.max(initial=0)) + 1)
    np.maximum.at(most, labels.ravel(), depths(labels).ravel())
    return most


def depths(labels: Ints) -> Floats:
    """Return how far each pixel lies from the edge of its own region, in pixels; edges of the photograph count not."""
    from scipy.ndimage import distance_transform_edt

    padded = np.pad(labels, 1, mode="edge")
    inner = np.ones(labels.shape, dtype=bool)
    for side in (padded[:-2, 1:-1], padded[2:, 1:-1], padded[1:-1, :-2], padded[1:-1, 2:]):
        inner &= side == labels
    return np.asarray(distance_transform_edt(inner & (labels > 0)))


def _united(labels: Ints, one: Ints, other: Ints, cost: Floats) -> Ints:
    """Give both of each pair that are each other's cheapest the same label, and number anew."""
    count = int(labels.max()) + 1
    cheapest = np.full(count, np.inf)
    for ends in (one, other):
        np.minimum.at(cheapest, ends, cost)
    best = (cost == cheapest[one]) & (cost == cheapest[other])
    new = np.arange(count)
    new[other[best]] = one[best]
    return np.asarray(np.unique(new, return_inverse=True)[1].reshape(-1)[labels])
