"""Shadows on the ground: darker than it, of no other hue, and as smooth as it is.

A grey swatch is all of this too. So a shadow is cut off only where it is the lesser part of a region, or lies thin
along a thicker one.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.regions import deepest
from palettes.photo.values import Mask
from shared.arrays import Floats, Ints
from shared.colour import lab_from_linear

_DARKER = 0.97
_TINTED = 1.35
"""Most by which one channel of a shadow may be darkened over another: heaps throw some of their hue on it."""
_ALONGSIDE = 0.08
_THINNER = 0.45


class _Company(NamedTuple):
    """How each label lies beside others, one entry for each from 0."""

    shared: Floats
    """Part of its outline that runs along other regions."""
    thickest: Floats
    """Radius in pixels of the thickest of these."""


def shadow_like(even: Floats, bare: Mask) -> Mask:
    """Return where a photograph may show shadow.

    Parameters
    ----------
    even
        Balanced linear light, shape (rows, columns, 3).
    bare
        Where the ground is seen.
    """
    from scipy.ndimage import gaussian_filter

    soft = gaussian_filter(even, (1, 1, 0))
    ratio = soft / np.maximum(np.median(even[bare], axis=0), 1e-4)
    darker = ratio.max(axis=-1) < np.minimum(_DARKER, _TINTED * ratio.min(axis=-1))
    lightness = lab_from_linear(even)[..., 0]
    rough = gaussian_filter(np.abs(lightness - gaussian_filter(lightness, 1)), 1)
    return np.asarray(darker & (rough < 2 * np.median(rough[bare]) + 0.3))


def without_shadows(labels: Ints, shadow: Mask) -> Mask:
    """Return the foreground less the shadows in it.

    Parameters
    ----------
    labels
        Regions of the foreground, 0 outside, shape (rows, columns).
    shadow
        Where there may be shadow, same shape.
    """
    from scipy.ndimage import binary_dilation, binary_opening

    count = int(labels.max(initial=0)) + 1
    share = np.bincount(labels.ravel(), shadow.ravel(), count) / np.maximum(np.bincount(labels.ravel()), 1)
    depth = deepest(labels)
    company = _company(labels, depth)
    thrown = (share > 0.5) & (company.shared > _ALONGSIDE) & (depth < _THINNER * company.thickest)
    fringe = (share <= 0.5)[labels] & binary_opening(shadow, iterations=2)
    cast = thrown[labels] & binary_dilation(shadow, iterations=3)
    return np.asarray((labels > 0) & ~cast & ~fringe)


def _company(labels: Ints, depth: Floats) -> _Company:
    shared, outline, thickest = (np.zeros(len(depth)) for _ in range(3))
    for one, other in _neighbours(labels):
        outline += np.bincount(one, minlength=len(depth))
        shared += np.bincount(one, other > 0, minlength=len(depth))
        np.maximum.at(thickest, one, np.where(other > 0, depth[other], 0))
    return _Company(shared / np.maximum(outline, 1), thickest)


def _neighbours(labels: Ints) -> list[tuple[NDArray[np.int64], NDArray[np.int64]]]:
    """Return labels that meet, each pair of pixels both ways."""
    pairs = []
    for one, other in ((labels[:, :-1], labels[:, 1:]), (labels[:-1], labels[1:])):
        meet = one != other
        pairs += [(one[meet], other[meet]), (other[meet], one[meet])]
    return pairs
