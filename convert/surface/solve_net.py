"""The shape of a net that is solved bead by bead, its beads pushed apart where they pass through one another."""

from collections.abc import Callable

import numpy as np

from convert.progress import Progress, silent
from convert.surface.continuation import Cloth, push_apart, relax
from convert.surface.lbfgs import Descent
from convert.surface.overlap import NO_STRUTS, OVERLAP, Struts, find_overlaps
from convert.surface.surface import Surface
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.grid import Grid

MOST_PUSHES = 3
"""Beads that pass through one another are pushed apart at most so often: each push may press others together."""

MOST_PAIRS = 8
"""More pairs are a shape that folds over, which no push mends."""

FARTHEST = 1.0
"""No bead is pushed further, in units of the bead."""

CLOSE = 0.15
"""Struts leave beads sunk into each other by this share of the thinner one's diameter."""


def solve_bead_by_bead(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, *, progress: Progress = silent
) -> Surface:
    """Find the shape of a work on its own net, from its cloth."""

    def surface_of(found: Descent) -> Surface:
        centres = cloth.ground.straighten(found.centres, cloth.start_mm) if found.iterations else cloth.start_mm
        return Surface(
            grid, bead_sizes, levels, cloth.net, cloth.ground, centres.T.copy(), found.converged, found.iterations
        )

    found = relax(cloth, progress=progress)
    return surface_of(found) if not found.iterations else _separate(cloth, found, surface_of, progress)


def _separate(cloth: Cloth, found: Descent, surface_of: Callable[[Descent], Surface], progress: Progress) -> Surface:
    """Put struts between beads that pass through one another; give the shape before it where that does not help.

    It helps when no overlap is left and no bead has moved far: a shape that is pushed over into another one, with
    its symmetry lost, would be no better a prediction than one whose find_overlaps are named.
    """
    before = surface = surface_of(found)
    struts = NO_STRUTS
    for _ in range(MOST_PUSHES):
        near = find_overlaps(surface, limit=CLOSE)
        deep = int((near.depths > OVERLAP).sum())
        if not found.converged or not deep:
            return surface
        if deep > MOST_PAIRS:
            return before
        # A strut ends where its two beads, as they now lie, would be sunk into each other by `CLOSE` and no more.
        shortest = near.apart_mm + (near.depths - CLOSE) * near.thinner_mm
        struts = Struts(np.concatenate([struts.pairs, near.pairs]), np.concatenate([struts.shortest_mm, shortest]))
        found = push_apart(cloth, found.centres, struts, progress=progress)
        found = found._replace(iterations=surface.iterations + found.iterations)
        surface = surface_of(found)
        moved = np.linalg.norm(surface.centres_mm - before.centres_mm, axis=1).max()
        if not found.converged or moved > FARTHEST * cloth.flat_rest_mm.mean():
            return before
    return before if find_overlaps(surface).pairs.size else surface
