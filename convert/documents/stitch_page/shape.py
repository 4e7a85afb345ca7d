"""How the beads lie, as the page's view in space takes it: the predicted surface, or flat two-drop work."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from convert.progress import Progress, silent
from convert.surface.overlap import hole_axes
from convert.surface.prediction import bending_of
from convert.surface.render.solids import turn_upright
from convert.surface.solve import solve_surface
from convert.surface.support import Tabletop
from convert.surface.surface import Surface
from shared.beads import BeadSizes
from shared.design import Design

Floats = NDArray[np.float64]

MOST_BEADS = 100_000
"""The page shows the shape of no more: it would be too heavy to turn about."""


@dataclass(frozen=True, eq=False, slots=True)
class LyingBeads:
    """How the beads of a work lie.

    Parameters
    ----------
    centres_mm, axes
        Middle and direction of the hole (length 1) of each bead in needle order, shape (beads, 3), with the axes of
        `convert.surface.render.solids`.
    flat
        Whether all are of one size, so that nothing rises.
    """

    bead_sizes: BeadSizes
    centres_mm: Floats
    axes: Floats
    flat: bool

    def __post_init__(self) -> None:
        for array in (self.centres_mm, self.axes):
            array.flags.writeable = False


def predict_lying(design: Design, *, progress: Progress = silent) -> tuple[LyingBeads | None, str]:
    """Predict how the beads of a design lie on a table.

    Returns
    -------
    lying, why_not
        Nothing where the work is two-drop of several sizes, too large, or does not come to rest; then the words say
        why, and they are empty otherwise.
    """
    grid = design.grid
    if grid.count > MOST_BEADS:
        return None, f"the shape of more than {MOST_BEADS:,} beads is not predicted"
    if grid.drop != 1:
        if (design.levels != design.levels[0]).any():
            return None, "the shape of two-drop work is predicted only where all beads are of one size"
        return _flat(design), ""
    surface = solve_surface(
        grid, design.bead_sizes, design.levels, bending=bending_of(design.bead_sizes), progress=progress
    )
    if not surface.converged:
        return None, "the predicted shape did not come to rest"
    return lying_of(surface), ""


def lying_of(surface: Surface) -> LyingBeads:
    """Return how the beads of a predicted surface lie."""
    order = surface.grid.needle_order
    flat = bool((surface.levels == surface.levels[0]).all())
    return LyingBeads(
        surface.bead_sizes, turn_upright(surface.centres_mm)[order], turn_upright(hole_axes(surface))[order], flat
    )


def _flat(design: Design) -> LyingBeads:
    """Lay beads of one size where the lattice has them: two-drop work has no net to be solved."""
    size = design.bead_sizes.sizes[design.levels[0]]
    flat_mm = design.grid.centres_mm(size.length_mm, size.diameter_mm)[design.grid.needle_order]
    axes = np.tile([1.0, 0.0, 0.0], (design.grid.count, 1))
    return LyingBeads(design.bead_sizes, turn_upright(Tabletop().lay(flat_mm.T).T), axes, True)
