"""The nearest of a few colours for each of many: near ones ask together which can be theirs at all."""

import numpy as np
from numpy.typing import NDArray

from shared.arrays import AnyFloats, Floats, Ints
from shared.ciede2000 import ciede2000, difference_table

MANY = 50_000
"""Of more colours those in one cube of Lab space ask together; of fewer each asks for itself."""

CUBE = 2.0
"""Sides of a cube, in Lab units."""

SLACK = 5.0
"""A colour farther by this from the middle of a cube than the nearest is the nearest of nothing in it: over four
million colours in palettes of 24 to 200, of all kinds, 3.5 was the most that one needed."""

FAR = 10.0
"""Of cubes without a colour so near each asks for itself, for there CIEDE2000 leaps where hues turn opposite."""

_BLOCK = 8192
_AXIS_BITS = 20


def nearest_colours(labs: AnyFloats, palette: AnyFloats) -> tuple[Ints, Floats]:
    """Return the nearest of a palette for each colour by CIEDE2000, and how far it is.

    Parameters
    ----------
    labs
        CIELAB, shape (n, 3).
    palette
        CIELAB, shape (k, 3), at least one.

    Returns
    -------
    labels, errors
        Each of shape (n,); errors are right to 2e-5, and of equal ones the first is taken.
    """
    if len(labs) > MANY:
        return _asking_together(labs, palette)
    table = difference_table(labs, palette)
    labels = table.argmin(axis=1).astype(np.int64)
    return labels, table[np.arange(len(labs)), labels].astype(np.float64)


def pack(steps: AnyFloats) -> Ints:
    """Pack three whole numbers each, below 2**19 in size, into one that sorts as they do; shape (n,) from (n, 3)."""
    keys = np.zeros(len(steps), dtype=np.int64)
    for axis in steps.T:
        keys = (keys << _AXIS_BITS) + axis.astype(np.int64) + (1 << (_AXIS_BITS - 1))
    return keys


def unpack(keys: Ints) -> Floats:
    """Return the three whole numbers of each key that `pack` made, shape (n, 3)."""
    mask, middle = (1 << _AXIS_BITS) - 1, 1 << (_AXIS_BITS - 1)
    return np.stack([(keys >> shift & mask) - middle for shift in (2 * _AXIS_BITS, _AXIS_BITS, 0)], axis=1) + 0.0


def _asking_together(labs: AnyFloats, palette: AnyFloats) -> tuple[Ints, Floats]:
    # The whole table is worked out for the middles of cubes alone, of which there are far fewer than colours.
    cubes, cube_of = np.unique(pack(np.floor(labs / CUBE)), return_inverse=True)
    table = difference_table((unpack(cubes) + 0.5) * CUBE, palette)
    least = table.min(axis=1, keepdims=True)
    possible = (table <= least + SLACK) | (least > FAR)
    # Stable, so that possible ones come first in their own order: of equally near ones the first is taken.
    order = np.argsort(~possible, axis=1, kind="stable")
    number = possible.sum(axis=1)[cube_of]
    labs32, palette32 = labs.astype(np.float32), palette.astype(np.float32)
    labels, errors = np.zeros(len(labs), dtype=np.int64), np.full(len(labs), np.inf, dtype=np.float32)
    for place in range(int(number.max(initial=0))):
        asking = (number > place).nonzero()[0]
        asked = order[cube_of[asking], place]
        found = _differences(labs32[asking], palette32[asked])
        better = found < errors[asking]
        labels[asking[better]], errors[asking[better]] = asked[better], found[better]
    return labels, errors.astype(np.float64)


def _differences(labs_1: NDArray[np.float32], labs_2: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return the difference of each pair, worked out in parts that stay in the processor's cache; shape (pairs,)."""
    found = np.empty(len(labs_1), np.float32)
    for top in range(0, len(labs_1), _BLOCK):
        part = slice(top, top + _BLOCK)
        found[part] = ciede2000(labs_1[part], labs_2[part])
    return found
