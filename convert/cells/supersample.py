"""A picture as exact means over small rectangles, several to a bead, a band of half-rows at a time."""

from collections.abc import Iterator
from math import ceil
from typing import Any, NamedTuple

from numpy.typing import NDArray

from convert.cells.area_mean import half_row_means
from convert.image.raster import Picture
from convert.layout.size import Box
from shared.arrays import Floats
from shared.grid import Grid

MOST_ACROSS, MOST_DOWN, MOST_FINER = 8, 5, 2
"""Samples that are taken of a picture to a column and to a half-row (a bead has two), and how many a side each may be
cut into further."""

BAND_SAMPLES = 1_000_000
"""About how many are held at a time; more where half-rows are long."""

_FEWEST = 2

_NEAR = 1e-6
"""Of a pixel: pixels that are short of a whole number by less are as many."""


class View(NamedTuple):
    """A picture and the place of the work on it; see `convert.cells.area_mean.footprint_means`."""

    picture: Picture
    window: Box
    bounds: Box
    outside: Floats


class Density(NamedTuple):
    """How a cell, a column wide and a half-row high, is cut into samples."""

    across: int
    """Samples across a column."""
    down: int
    """Samples down a half-row."""
    finer: int = 1
    """Each sample is measured as this many parts a side."""


class Band(NamedTuple):
    """Samples of some half-rows."""

    first: int
    """The first half-row of the samples, from 0 at the top of the picture."""
    own: range
    """Half-rows whose beads (those that begin there) the band stands for; the others are margin."""
    linear: Floats
    """Linear light, shape (half-rows x down x finer, columns x across x finer, 3)."""
    density: Density


def density_of(view: View, grid: Grid) -> Density:
    """Return a density that loses nothing the picture shows, up to a limit."""
    across_px, down_px = view.window.width / grid.columns, view.window.height / (grid.rows + 1)
    across = min(MOST_ACROSS, max(_FEWEST, ceil(2 * across_px)))
    down = min(MOST_DOWN, max(_FEWEST, ceil(2 * down_px)))
    finer = min(MOST_FINER, max(1, int(min(across_px / across, down_px / down) + _NEAR)))
    return Density(across, down, finer)


def sample_bands(view: View, grid: Grid, density: Density, *, margin: int) -> Iterator[Band]:
    """Yield the picture in bands from the top, each with ``margin`` half-rows more at both ends where there are any."""
    half_rows = grid.rows + 1
    in_half_row = grid.columns * density.across * density.down * density.finer**2
    step = max(1, 4 * margin, BAND_SAMPLES // in_half_row)
    height = view.window.height / half_rows
    for begin in range(0, grid.rows, step):
        own = range(begin, min(begin + step, grid.rows))
        first, last = max(own.start - margin, 0), min(own.stop + 1 + margin, half_rows)
        linear = half_row_means(
            view.picture,
            grid.columns * density.across * density.finer,
            (last - first) * density.down * density.finer,
            window=view.window._replace(top=view.window.top + first * height, bottom=view.window.top + last * height),
            bounds=view.bounds,
            outside=view.outside,
        )
        yield Band(first, own, linear, density)


def in_cells(samples: NDArray[Any], density: Density) -> NDArray[Any]:
    """Cut a field of samples into cells, shape (half-rows, columns, down, across, …)."""
    height, width, *rest = samples.shape
    cut = samples.reshape(height // density.down, density.down, width // density.across, density.across, *rest)
    return cut.swapaxes(1, 2)
