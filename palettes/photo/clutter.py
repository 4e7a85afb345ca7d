"""What lies or falls on the ground and is no heap: shadows, dust, frames, the table beyond the sheet.

A shadow is darker than the ground, of no other hue, and as smooth as it is. A grey swatch is all of this too. So a
shadow is cut off only where it is the lesser part of a region, or lies thin along a thicker one.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.copies import Region
from palettes.photo.regions import greatest_depths
from shared.arrays import Bools, Floats, Ints
from shared.colour import lab_from_linear

SMALLEST_SHARE = 1 / 4000
"""Part of the photograph below which a spot is dust."""
SMALLEST_OF_TYPICAL = 1 / 16
"""Part of the median patch below which a spot is a stray bead or dust."""
_FRAMED = 3
"""A region round this many others holds them; it is no heap."""
_SPANS = 0.6
"""A region at the edge of the photograph that spans so much of a side is what lies beyond the ground."""


class SievedPatches(NamedTuple):
    """The regions that are patches."""

    labels: Ints
    """0 for none, 1 … n, shape (rows, columns)."""
    notices: tuple[str, ...]


class _Boxes(NamedTuple):
    """What the sieve looks at, one entry for each label from 0."""

    area: Ints
    box: Ints
    """Top, left, bottom, right, shape (n, 4)."""


def sieve_patches(labels: Ints, *, card: Region | None) -> SievedPatches:
    """Keep the regions that are heaps, tubes or swatches.

    Parameters
    ----------
    labels
        0 outside, 1 … n (some may be missing), shape (rows, columns).
    card
        The grey card in pixels of this copy; a region that it lies on is no patch.
    """
    table = _table(labels)
    there = (np.arange(len(table.area)) > 0) & (table.area > 0)
    beyond = there & _beyond(table, labels.shape)
    frames = there & ~beyond & _frames(table)
    cards = there & _under_card(labels, card)
    left = there & ~beyond & ~frames & ~cards
    small = left & (table.area < _least_area(table.area[left], labels.size))
    notices = _notices(int(small.sum()), int(beyond.sum()), int(frames.sum()))
    numbers = np.cumsum(left & ~small) * (left & ~small)
    return SievedPatches(np.asarray(numbers[labels]), notices)


def _table(labels: Ints) -> _Boxes:
    from scipy.ndimage import find_objects

    places = [found or (slice(0, 0), slice(0, 0)) for found in find_objects(labels)]
    boxes = [(rows.start, columns.start, rows.stop, columns.stop) for rows, columns in places]
    return _Boxes(np.bincount(labels.ravel()), np.array([(0, 0, *labels.shape), *boxes], dtype=np.int64))


def _beyond(table: _Boxes, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    top, left, bottom, right = table.box.T
    at_edge = (top == 0) | (left == 0) | (bottom == shape[0]) | (right == shape[1])
    return np.asarray(at_edge & ((bottom - top > _SPANS * shape[0]) | (right - left > _SPANS * shape[1])))


def _frames(table: _Boxes) -> NDArray[np.bool_]:
    low, high = table.box[1:, :2], table.box[1:, 2:]
    inside = (low[None] > low[:, None]).all(axis=-1) & (high[None] < high[:, None]).all(axis=-1)
    return np.concatenate([[False], inside.sum(axis=1) >= _FRAMED])


def _under_card(labels: Ints, card: Region | None) -> NDArray[np.bool_]:
    hit = np.zeros(int(labels.max(initial=0)) + 1, dtype=bool)
    if card is not None:
        x, y, across, down = card
        hit[np.bincount(labels[y : y + down, x : x + across].ravel()).argmax()] = True
    return hit


def _least_area(areas: Ints, pixels: int) -> float:
    """Return the area of the smallest patch; the typical patch is the median, weighted by area."""
    if not len(areas):
        return 0.0
    rising = np.sort(areas)
    typical = rising[np.searchsorted(np.cumsum(rising), rising.sum() / 2)]
    return float(max(SMALLEST_SHARE * pixels, SMALLEST_OF_TYPICAL * typical))


def _notices(small: int, beyond: int, frames: int) -> tuple[str, ...]:
    notices = []
    if small:
        notices.append(f"{small} small {'spot was' if small == 1 else 'spots were'} taken for dust or stray beads")
    if beyond:
        notices.append("what spans the photograph along its edge was taken for the surroundings, not for beads")
    if frames:
        notices.append("what lies round several patches was taken for a frame or tray")
    return tuple(notices)


_DARKER = 0.97
_TINTED = 1.35
"""Most by which one channel of a shadow may be darkened over another: heaps throw some of their hue on it."""
_ALONGSIDE = 0.08
_THINNER = 0.45


class _Company(NamedTuple):
    """How each label lies next to others, one entry for each from 0."""

    shared: Floats
    """Part of its outline that runs along other regions."""
    thickest: Floats
    """Radius in pixels of the thickest of these."""


def shadow_like(even: Floats, bare: Bools) -> Bools:
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


def take_off_shadows(labels: Ints, shadow: Bools) -> Bools:
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
    depth = greatest_depths(labels)
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
