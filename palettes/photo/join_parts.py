"""Join the small parts that a foreground was cut into, while neighbours look alike.

Every round joins pairs of which each likes the other best. It works on a table of the parts and of their borders, not
on pixels, so that rounds cost next to nothing.
"""

from typing import NamedTuple

import numpy as np

from shared.arrays import Floats, Ints

ALIKE = 8.0
"""Lab units below which neighbours are one heap: wider than shading, narrower than shop colours side by side."""
SHADE_COUNTS = 0.6
"""How much of a difference is counted between heaps that more or less light on one colour could make."""
SMOOTH, ROUGH = 1.0, 3.0
"""Roughness in Lab units of swatches, where shade counts in full, and of heaps."""
ROUGH_COUNTS = 0.5
"""How much of two parts' roughness is added to what is alike: of large beads smoothing leaves some contrast."""


class PartLook(NamedTuple):
    """What decides on joining, at each pixel."""

    smooth: Floats
    """Lab, smoothed, shape (rows, columns, 3)."""
    rough: Floats
    """How far the photograph lies from that, in Lab units."""
    step: Floats
    """Height of the colour step that would make the slope here, in Lab units."""


class _Parts(NamedTuple):
    """Sums over the pixels of each part, one row each; row 0 is what lies outside."""

    area: Floats
    colour: Floats
    """Lab, shape (n, 3)."""
    rough: Floats


class _Borders(NamedTuple):
    """Pairs of parts that meet, each once, the lower number first; 0 is what lies outside."""

    one: Ints
    other: Ints
    length: Floats
    """Pixels along which they meet."""
    step: Floats
    """Sum of the steps there."""


def join_parts(parts: Ints, look: PartLook, thinnest: float) -> Ints:
    """Join parts that look alike, and any that are thinner than ``thinnest`` pixels to what they are most like.

    Parameters
    ----------
    parts
        0 outside, 1 … n, shape (rows, columns).

    Returns
    -------
    ndarray of int64
        0 outside, 1 … m, shape (rows, columns).
    """
    table, borders = _table(parts, look), _borders(parts, look.step)
    number = np.arange(len(table.area))
    for least in (0.0, thinnest):
        while True:
            into = _one_round(table, borders, least)
            if into.max() + 1 == len(table.area):
                break
            number = into[number]
            table, borders = _merge(table, into), _renumber(borders, into)
    return number[parts]


def _one_round(table: _Parts, borders: _Borders, thinnest: float) -> Ints:
    """Return the new number of each part."""
    within = borders.one > 0
    one, other = borders.one[within], borders.other[within]
    area = np.maximum(table.area, 1)
    colour, rough = table.colour / area[:, None], table.rough / area
    smoother = np.minimum(rough[one], rough[other])
    shade = 1 - (1 - SHADE_COUNTS) * np.clip((smoother - SMOOTH) / (ROUGH - SMOOTH), 0, 1)
    cost = np.minimum(_unlikeness(colour[one], colour[other], shade), (borders.step / borders.length)[within])
    allowed = cost < ALIKE + ROUGH_COUNTS * smoother
    thin = _thickness(table, borders) < thinnest
    allowed |= thin[one] | thin[other]
    return _unite(one[allowed], other[allowed], cost[allowed], len(area))


def _unlikeness(one: Floats, other: Floats, counts: Floats) -> Floats:
    """Return how far colours lie apart in Lab; in the direction in which shade moves a colour only ``counts`` of it."""
    away = other - one
    shade = one + other + np.array([32.0, 0, 0])
    shade /= np.maximum(np.linalg.norm(shade, axis=1, keepdims=True), 1e-9)
    along = (away * shade).sum(axis=1)
    return np.asarray(np.sqrt(np.maximum((away**2).sum(axis=1) - (1 - counts**2) * along**2, 0)))


def _thickness(table: _Parts, borders: _Borders) -> Floats:
    """Return twice the area over the outline: the width of a strip, the radius of a disc."""
    outline = np.zeros(len(table.area))
    for ends in (borders.one, borders.other):
        outline += np.bincount(ends, borders.length, len(outline))
    return 2 * table.area / np.maximum(outline, 1)


def _unite(one: Ints, other: Ints, cost: Floats, count: int) -> Ints:
    """Give both of each pair that are each other's cheapest one number, and number anew."""
    cheapest = np.full(count, np.inf)
    for ends in (one, other):
        np.minimum.at(cheapest, ends, cost)
    best = (cost == cheapest[one]) & (cost == cheapest[other])
    new = np.arange(count)
    new[other[best]] = one[best]
    return np.asarray(np.unique(new, return_inverse=True)[1].reshape(-1), dtype=np.int64)


def _table(parts: Ints, look: PartLook) -> _Parts:
    where = parts.ravel()
    colour = [_sums(where, look.smooth[..., channel].ravel()) for channel in range(3)]
    return _Parts(_sums(where, np.ones(where.size)), np.stack(colour, axis=1), _sums(where, look.rough.ravel()))


def _sums(where: Ints, values: Floats) -> Floats:
    return np.bincount(where, values).astype(np.float64)


def _borders(parts: Ints, step: Floats) -> _Borders:
    found = []
    for here, there in ((np.s_[:, :-1], np.s_[:, 1:]), (np.s_[:-1], np.s_[1:])):
        one, other = parts[here], parts[there]
        meet = one != other
        found.append((one[meet], other[meet], np.maximum(step[here], step[there])[meet]))
    ones, others, steps = (np.concatenate(column) for column in zip(*found, strict=True))
    return _renumber(_Borders(ones, others, np.ones(len(ones)), steps), np.arange(int(parts.max(initial=0)) + 1))


def _merge(table: _Parts, into: Ints) -> _Parts:
    colour = [_sums(into, table.colour[:, channel]) for channel in range(3)]
    return _Parts(_sums(into, table.area), np.stack(colour, axis=1), _sums(into, table.rough))


def _renumber(borders: _Borders, into: Ints) -> _Borders:
    """Return the borders after parts got new numbers, with each pair once."""
    count = int(into.max()) + 1
    one, other = into[borders.one], into[borders.other]
    apart = one != other
    low, high = np.minimum(one, other)[apart], np.maximum(one, other)[apart]
    pairs, which = np.unique(low * count + high, return_inverse=True)
    length, step = (_sums(which, column[apart]) for column in (borders.length, borders.step))
    return _Borders(pairs // count, pairs % count, length, step)
