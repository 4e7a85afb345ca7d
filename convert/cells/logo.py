"""Flat areas and crisp edges: each bead takes one of the colours that it covers, not their mixture."""

import numpy as np

from convert.cells.area_mean import footprint_means
from convert.cells.footprints import bead_starts, footprints
from convert.cells.mean_shift import shift_means
from convert.cells.supersample import View, density_of, sample_bands
from shared.arrays import Floats
from shared.colour import lab_from_linear, linear_from_lab
from shared.grid import Grid

SIGMAS = (12.0, 12.0, 12.0, 8.0, 6.0)
"""How alike two colours must be to count as one, Lab units, round by round."""

SHARPENING = 0.5
"""How much of its difference to the mean of its neighbours a bead's own mean is moved further away from it."""

EDGE_STEP = 6.0
"""Lab units between neighbouring samples above which both hardly count: they lie on an edge, and show a mixture."""

_FLAT = 1.0


def logo_cells(view: View, grid: Grid) -> Floats:
    """Return the colour of each bead in linear light, shape (beads, 3): the likeliest of the colours it covers.

    From the sharpened mean over the footprint, the mean is taken again and again, of those samples alone that are
    like it, see `convert.cells.mean_shift`.
    """
    picture, window, bounds, outside = view
    means = lab_from_linear(footprint_means(picture, grid, window=window, bounds=bounds, outside=outside))
    cells = sharpened(means, grid)
    starts = bead_starts(grid)
    density = density_of(view, grid)._replace(finer=1)
    for band in sample_bands(view, grid, density, margin=1):
        lab, prints = lab_from_linear(band.linear), footprints(band, starts)
        cells[prints.beads] = likeliest(prints.of(lab), prints.of(_inside_weights(lab)), cells[prints.beads])
    return np.maximum(linear_from_lab(cells), 0)


def sharpened(means_lab: Floats, grid: Grid) -> Floats:
    """Move the colour of each bead away from the mean of those it touches, shape (beads, 3)."""
    touched = grid.neighbours >= 0
    total = np.where(touched[..., None], means_lab[grid.neighbours], 0).sum(axis=1)
    count = touched.sum(axis=1)[:, None]
    around = np.where(count > 0, total / np.maximum(count, 1), means_lab)
    return np.asarray(means_lab + SHARPENING * (means_lab - around))


def likeliest(samples_lab: Floats, weights: Floats, start_lab: Floats) -> Floats:
    """Return the colour that many samples of each bead share, near the one where the search starts.

    Parameters
    ----------
    samples_lab
        CIELAB, shape (beads, samples, 3).
    weights
        Above 0, shape (beads, samples).
    start_lab
        Shape (beads, 3).
    """
    colours = samples_lab.mean(axis=1)
    mixed = np.flatnonzero(np.ptp(samples_lab, axis=1).max(axis=1) > _FLAT)
    colours[mixed] = shift_means(start_lab[mixed], samples_lab[mixed], weights[mixed], SIGMAS)
    return np.asarray(colours)


def _inside_weights(lab: Floats) -> Floats:
    """Return a weight for each sample that falls with the greatest step to a neighbouring one."""
    step = np.zeros(lab.shape[:2])
    for here, there in ((np.s_[1:], np.s_[:-1]), (np.s_[:, 1:], np.s_[:, :-1])):
        steps = np.sqrt(((lab[here] - lab[there]) ** 2).sum(axis=2))
        for side in (here, there):
            step[side] = np.maximum(step[side], steps)
    return 1 / (1 + (step / EDGE_STEP) ** 2)
