"""Cut what lies on the ground into regions of one colour each.

Heaps are full of small contrasts, so colours are compared after smoothing over several beads. The foreground is flooded
from its smoothest places, which gives many small parts, and neighbours are joined while they look alike or the
border between them is faint.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.values import Floats, Ints, Mask

ALIKE = 8.0
"""Lab units below which neighbours are one heap: wider than shading, narrower than shop colours side by side."""
LEAST_CONTRAST = 3.5
"""Lab units from the ground that make a pixel foreground on a perfectly even ground."""

_EDGE_OF_STEP = float(np.sqrt(2 * np.pi))
"""A step blurred by a Gaussian of width s rises by its height over this times s in a pixel."""


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
        Pixels over which gaps between beads are closed; half of it is the thinnest thing that counts.
    """
    from scipy import ndimage
    from skimage.morphology import disk

    mask = distance > max(LEAST_CONTRAST, 3.5 * noise)
    reach = max(1, round(width))
    padded = np.pad(mask, reach, mode="edge")
    closed = ndimage.binary_closing(padded, disk(reach))[reach:-reach, reach:-reach]
    opened = ndimage.binary_opening(closed, disk(max(1, round(width / 2))))
    return _without_holes(np.asarray(opened, dtype=bool), 12 * width**2)


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
    parts = np.asarray(watershed(np.round(slope, 2), mask=mask), dtype=np.int64)
    return _joined(parts, smooth, slope * width * _EDGE_OF_STEP, width)


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


def _joined(parts: Ints, smooth: Floats, step: Floats, width: float) -> Ints:
    """Join parts in rounds: first those that look alike, then what is too thin to be a heap of its own."""
    labels = parts
    for thin_too in (False, True):
        while True:
            renumbered = _one_round(labels, smooth, step, width, thin_too=thin_too)
            if renumbered.max(initial=0) == labels.max(initial=0):
                break
            labels = renumbered
    return labels


def _one_round(labels: Ints, smooth: Floats, step: Floats, width: float, *, thin_too: bool) -> Ints:
    """Join each pair of which both like the other best, if they are alike enough."""
    borders = _borders(labels, step)
    means = _means(labels, smooth)
    cost = np.minimum(np.linalg.norm(means[borders.one] - means[borders.other], axis=1), borders.step)
    allowed = cost < ALIKE
    if thin_too:
        thin = _thin(labels, 1.5 * width)
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


def _means(labels: Ints, smooth: Floats) -> Floats:
    sizes = np.maximum(np.bincount(labels.ravel()), 1)
    return np.stack([np.bincount(labels.ravel(), smooth[..., c].ravel()) / sizes for c in range(3)], axis=1)


def _thin(labels: Ints, width: float) -> NDArray[np.bool_]:
    """Tell for each label whether nothing of it lies ``width`` pixels from its edge."""
    depth = depths(labels)
    deepest = np.zeros(int(labels.max()) + 1)
    np.maximum.at(deepest, labels.ravel(), depth.ravel())
    return np.asarray(deepest < width)


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
