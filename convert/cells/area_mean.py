"""The exact mean of a picture over the footprint of each bead."""

from math import ceil

import numpy as np

from convert.image.raster import Raster
from convert.layout.size import Box
from shared.arrays import Floats, Floats32
from shared.grid import Grid

_PIXELS_AT_ONCE = 1 << 17
"""About how many pixels are in floating point at a time."""

_STRIPS_AT_ONCE = 32
"""At most this many strips are summed together, and more of a narrow picture, up to `_PIXELS_AT_ONCE`."""


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
    cell = window.width / columns * window.height / half_rows
    means = np.empty((half_rows, columns, len(outside)))
    left = min(int(across[0]), width - 1)
    seen = slice(left, max(ceil(across[-1]), left + 1))
    at_once = max(_STRIPS_AT_ONCE, _PIXELS_AT_ONCE // max(seen.stop - left, columns))
    for first in range(0, half_rows, at_once):
        edges = down[first : first + at_once + 1]
        sums = np.diff(_running_sum(_strips(raster, edges, seen), across - left), axis=1)
        covered = np.diff(edges)[:, None] * np.diff(across)
        means[first : first + at_once] = (sums + np.maximum(cell - covered, 0)[..., None] * outside) / cell
    return means


def _strips(raster: Raster, edges: Floats, seen: slice) -> Floats32:
    """Integrate the pixel rows between each two heights, shape (strips, columns seen, channels).

    The pixel rows are read once, some at a time, and added in their order from the top of each strip, so that sums do
    not depend on how many are read together.
    """
    first = np.minimum(np.floor(edges[:-1]).astype(np.int64), raster.shape[0] - 1)
    last = np.clip(np.ceil(edges[1:]).astype(np.int64), first + 1, raster.shape[0])
    rows_at_once = max(1, _PIXELS_AT_ONCE // (seen.stop - seen.start))
    strips: list[Floats32] = []
    for top in range(first[0], last[-1], rows_at_once):
        band = raster.band(slice(top, min(top + rows_at_once, last[-1])), seen)
        begun = int(np.searchsorted(first, top + len(band), "left"))
        strips += [np.zeros(band.shape[1:], dtype=np.float32) for _ in range(begun - len(strips))]
        for strip in range(int(np.searchsorted(last, top, "right")), begun):
            for line in range(max(first[strip], top), min(last[strip], top + len(band))):
                share = min(line + 1, edges[strip + 1]) - max(line, edges[strip])
                strips[strip] += band[line - top] if share == 1 else np.float32(share) * band[line - top]
    return np.stack(strips)


def _running_sum(strips: Floats32, across: Floats) -> Floats:
    """Integrate each strip from its left end up to each edge, shape (strips, edges, channels)."""
    total = np.cumsum(strips, axis=1, dtype=np.float64)
    whole = np.minimum(np.floor(across).astype(np.int64), strips.shape[1] - 1)
    part = (across - whole)[:, None]
    before = np.where((whole > 0)[:, None], total[:, whole - 1], 0)
    return np.asarray(before + part * strips[:, whole])
