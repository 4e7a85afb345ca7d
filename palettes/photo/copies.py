"""A photograph as codes, a part of it, and smaller copies of it, averaged in linear light.

Places in a photograph count pixels from its upper left corner, x right and y down; arrays are (rows, columns).
"""

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats
from shared.colour import linear_from_srgb

Codes = NDArray[np.uint8] | NDArray[np.uint16]

FINE_SIDE, COARSE_SIDE = 1800, 700
"""Longest sides in pixels of the copy that colours are taken from, and of the one in which patches are looked for."""


class Region(NamedTuple):
    """A rectangle of a photograph, in its pixels."""

    x: int
    """Columns left of it."""
    y: int
    """Rows above it."""
    width: int
    height: int


class Copies(NamedTuple):
    """A photograph at two sizes, in linear light as the camera gave it."""

    fine: Floats
    coarse: Floats
    coarse_step: int
    """Fine pixels a side in a coarse one."""
    step: int
    """Pixels of the photograph a side in a coarse one."""


def make_copies(codes: Codes) -> Copies:
    """Return both copies of a photograph given as sRGB codes."""
    fine_step = step_for(codes.shape, FINE_SIDE)
    fine = mean_light(codes, fine_step)
    coarse_step = step_for(fine.shape, COARSE_SIDE)
    coarse = np.asarray(block_means(fine, coarse_step), dtype=np.float64)
    return Copies(fine, coarse, coarse_step, fine_step * coarse_step)


def step_for(shape: tuple[int, ...], longest: int) -> int:
    """Return how many pixels a side become one, so that no side is longer than ``longest``."""
    return -(-max(shape[:2]) // longest)


def mean_light(codes: Codes, step: int) -> Floats:
    """Return the mean linear light of each ``step`` x ``step`` pixels; what is left over at two edges is dropped.

    Parameters
    ----------
    codes
        sRGB codes, shape (height, width, 3) or (height, width, 1), 8 or 16 bits.

    Returns
    -------
    ndarray
        Linear light in 0 … 1, shape (height // step, width // step, 3).
    """
    light = _light(np.iinfo(codes.dtype).max)
    rows = range(0, codes.shape[0] // step * step, step)
    bands = [block_means(light[codes[top : top + step]], step) for top in rows]
    return np.broadcast_to(np.concatenate(bands), (len(bands), codes.shape[1] // step, 3)).astype(np.float64)


def block_means(values: NDArray[np.floating], step: int) -> NDArray[np.floating]:
    """Return the mean of each ``step`` x ``step`` entries, shape (rows, columns, channels)."""
    rows, columns = values.shape[0] // step, values.shape[1] // step
    whole = values[: rows * step, : columns * step]
    down = np.add.reduce(whole.reshape(rows, step, columns * step, -1), axis=1)
    return np.asarray(np.add.reduce(down.reshape(rows, columns, step, -1), axis=2) / step**2)


@cache
def _light(largest: int) -> NDArray[np.float32]:
    return linear_from_srgb(np.arange(largest + 1) / largest).astype(np.float32)
