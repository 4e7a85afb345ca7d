"""Tell heaps from what else lies or falls on the ground: dust, frames, the table beyond the sheet."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.values import Region
from shared.arrays import Ints

SMALLEST_SHARE = 1 / 4000
"""Part of the photograph below which a spot is dust."""
SMALLEST_OF_TYPICAL = 1 / 16
"""Part of the median patch below which a spot is a stray bead or dust."""
_FRAMED = 3
"""A region round so many others holds them; it is no heap."""
_SPANS = 0.6
"""A region at the edge of the photograph that spans so much of a side is what lies beyond the ground."""


class Sieved(NamedTuple):
    """The regions that are patches."""

    labels: Ints
    """0 for none, 1 … n, shape (rows, columns)."""
    notices: tuple[str, ...]


class _Table(NamedTuple):
    """What the sieve looks at, one entry for each label from 0."""

    area: Ints
    box: Ints
    """Top, left, bottom, right, shape (n, 4)."""


def sieve(labels: Ints, *, card: Region | None) -> Sieved:
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
    return Sieved(np.asarray(numbers[labels]), notices)


def _table(labels: Ints) -> _Table:
    from scipy.ndimage import find_objects

    places = [found or (slice(0, 0), slice(0, 0)) for found in find_objects(labels)]
    boxes = [(rows.start, columns.start, rows.stop, columns.stop) for rows, columns in places]
    return _Table(np.bincount(labels.ravel()), np.array([(0, 0, *labels.shape), *boxes], dtype=np.int64))


def _beyond(table: _Table, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    top, left, bottom, right = table.box.T
    at_edge = (top == 0) | (left == 0) | (bottom == shape[0]) | (right == shape[1])
    return np.asarray(at_edge & ((bottom - top > _SPANS * shape[0]) | (right - left > _SPANS * shape[1])))


def _frames(table: _Table) -> NDArray[np.bool_]:
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
