"""The exact mean of a picture over the footprint of each bead."""

from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from convert.raster import Floats32, Raster
from convert.size import Box
from shared.grid import Grid

Floats = NDArray[np.float64]

_AT_ONCE = 32
"""So many strips are held, however many there are."""


def footprint_means(raster: Raster, grid: Grid, *, window: Box, bounds: Box, outside: Floats) -> Floats:
    """Average a raster over the rectangle that each bead covers in flat work.

    Footprints lie on the offset lattice: a column wide and two half-rows high. The means over single
    half-rows are exact area integrals of the pixels (a pixel that is cut counts with its share); a bead is
    the mean of its two.

    Parameters
    ----------
    raster
        What to average; for a picture, linear light.
    grid
        The lattice.
    window
        The outline of the work on the raster, in its pixels.
    bounds
        The part of the raster that counts; all around it is ``outside``.
    outside
        One value for each channel.

    Returns
    -------
    ndarray
        Shape (beads, channels).
    """
    halves = half_row_means(raster, grid.columns, grid.rows + 1, window=window, bounds=bounds, outside=outside)
    down, right = grid.place_of.T
    return np.asarray((halves[down, right] + halves[down + 1, right]) / 2)


def half_row_means(
    raster: Raster, columns: int, half_rows: int, *, window: Box, bounds: Box, outside: Floats
) -> Floats:
    """Average a raster over a plain grid of cells, shape (half_rows, columns, channels); see `footprint_means`."""
    height, width = raster.shape
    inside = Box(max(bounds.left, 0), max(bounds.top, 0), min(bounds.right, width), min(bounds.bottom, height))
    down = np.clip(np.linspace(window.top, window.bottom, half_rows + 1), inside.top, inside.bottom)
    across = np.clip(np.linspace(window.left, window.right, columns + 1), inside.left, inside.right)
    heights = list(pairwise(down.tolist()))
    cell = window.width / columns * window.height / half_rows
    means = np.empty((half_rows, columns, len(outside)))
    for first in range(0, half_rows, _AT_ONCE):
        group = heights[first : first + _AT_ONCE]
        sums = np.diff(_running_sum(_strips(raster, group), across), axis=1)
        covered = np.diff(np.array(group), axis=1) * np.diff(across)
        means[first : first + _AT_ONCE] = (sums + np.maximum(cell - covered, 0)[..., None] * outside) / cell
    return means


def _strips(raster: Raster, heights: list[tuple[float, float]]) -> Floats32:
    """Integrate the pixel rows between each two heights, shape (strips, width, channels)."""
    return np.stack([_strip(raster, top, bottom) for top, bottom in heights])


def _strip(raster: Raster, top: float, bottom: float) -> Floats32:
    """Integrate the pixel rows between two heights, shape (width, channels)."""
    first, last = floor(top), max(ceil(bottom), floor(top) + 1)
    first, last = min(first, raster.shape[0] - 1), min(last, raster.shape[0])
    edges = np.clip(np.arange(first, last + 1), top, bottom)
    return np.asarray(np.einsum("y,yxc->xc", np.diff(edges).astype(np.float32), raster.band(first, last)))


def _running_sum(strips: Floats32, across: Floats) -> Floats:
    """Integrate each strip from its left end up to each edge, shape (strips, edges, channels)."""
    total = np.cumsum(strips, axis=1, dtype=np.float64)
    whole = np.minimum(np.floor(across).astype(np.int64), strips.shape[1] - 1)
    part = (across - whole)[:, None]
    before = np.where((whole > 0)[:, None], total[:, whole - 1], 0)
    return np.asarray(before + part * strips[:, whole])
