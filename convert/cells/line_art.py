"""Thin lines on a ground: a bead that enough of a line crosses takes the colour of the ink, the others the ground's."""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.cells.footprints import Footprints, bead_starts, footprints
from convert.cells.ink import REACH, find_ink, parted
from convert.cells.mean_shift import evened
from convert.cells.supersample import Band, View, density_of, sample_bands
from convert.cells.thinning import ink_beads
from shared.arrays import Ints
from shared.grid import Grid

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

CORE = 0.75
"""Ink at least so dark, as a share of the darkest in the bead, gives the bead its colour."""

_STROKE_SEEN = 6
"""Half-rows beyond its own beads on which a band follows a stroke."""


class Drawn(NamedTuple):
    """A sketch on the beads."""

    linear: Floats
    """Colours in linear light, shape (beads, 3)."""
    ink: Bools
    """Which beads are ink, shape (beads,)."""


class _Measures(NamedTuple):
    """What the samples tell of some beads."""

    beads: Ints
    cover: Floats
    joined: Bools
    stroke_area: Floats
    ink_linear: Floats
    ground_linear: Floats


def sketch_cells(view: View, grid: Grid, *, dark_ground: bool = False) -> Drawn:
    """Return the colours of the beads, and which of them are ink.

    Parameters
    ----------
    view
        The picture.
    grid
        The lattice.
    dark_ground
        Lines are lighter than the ground, as chalk is.
    """
    starts = bead_starts(grid)
    bands = sample_bands(view, grid, density_of(view, grid), margin=REACH + _STROKE_SEEN)
    found = [_measured(band, starts, grid, dark_ground=dark_ground) for band in bands]
    beads, *fields = (np.concatenate(parts) for parts in zip(*found, strict=True))
    cover, joined, stroke_area, ink_linear, ground_linear = (field[np.argsort(beads)] for field in fields)
    ink = ink_beads(cover, joined, stroke_area, grid)
    ground_linear[ink] = evened(ink_linear[ink])
    return Drawn(ground_linear, ink)


def _measured(band: Band, starts: Ints, grid: Grid, *, dark_ground: bool) -> _Measures:
    ground, core = parted(band, dark_ground=dark_ground)
    ink, contrast = find_ink(core, band.density, dark_ground=dark_ground)
    prints = footprints(band, starts)
    cover = prints.total(ink) / prints.samples
    joined, stroke_area = _strokes(ink, prints, grid)
    darkest = prints.spread(prints.greatest(contrast))
    ink_linear = _mean_of_first([ink & (contrast >= CORE * darkest)], core, prints)
    ground_linear = _mean_of_first([~_widened(ink), ~ink, np.ones_like(ink)], ground, prints)
    return _Measures(prints.beads, cover, joined, stroke_area, ink_linear, ground_linear)


def _widened(ink: Bools) -> Bools:
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(ink, np.ones((3, 3), dtype=bool)))


def _mean_of_first(choices: Iterable[Bools], linear: Floats, prints: Footprints) -> Floats:
    """Return the mean over those samples of each bead that are in the first choice where it has any; else black."""
    means, without = np.zeros((len(prints.beads), 3)), np.ones(len(prints.beads), dtype=bool)
    for chosen in choices:
        count = prints.total(chosen)
        now = without & (count > 0)
        means[now] = prints.total(linear * chosen[..., None])[now] / count[now, None]
        without &= ~now
        if not without.any():
            break
    return means


def _strokes(ink: Bools, prints: Footprints, grid: Grid) -> tuple[Bools, Floats]:
    """Return whether the main stroke of each bead reaches each bead it touches, and the area of it in beads."""
    from scipy.ndimage import label

    strokes, count = label(ink, structure=np.ones((3, 3), dtype=int))
    areas = np.bincount(strokes.ravel(), minlength=count + 1) / prints.samples
    areas[0] = 0
    pairs, sizes = np.unique(prints.owners[ink] * (count + 1) + strokes[ink], return_counts=True)
    bead, stroke = np.divmod(pairs, count + 1)
    main = np.zeros(grid.count + 1, dtype=np.int64)
    rising = np.argsort(sizes, kind="stable")
    main[bead[rising]] = stroke[rising]
    mine, beside = main[prints.beads, None], grid.neighbours[prints.beads]
    sought = np.where((beside >= 0) & (mine > 0), beside * (count + 1) + mine, -1)
    return np.isin(sought, pairs), areas[mine[:, 0]]
