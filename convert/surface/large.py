"""Works too large for one net: a coarsened one for the whole, and domes on nets of their own."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from convert.progress import Progress, silent
from convert.surface.coarse import Coarse
from convert.surface.continuation import Cloth, relax
from convert.surface.parts import Part, blended, covered_mm, domes
from convert.surface.settle import settled
from convert.surface.solve_net import solve_whole
from convert.surface.spring_net import measures_mm
from convert.surface.support import Table
from convert.surface.surface import Coarsening, Surface, common_level
from shared.arrays import Floats, Ints
from shared.beads import BeadSizes
from shared.grid import Grid

MOST_ALONE = 100_000
"""So many beads are solved on nets of domes, the smallest domes first; the others are shown by the coarsened net."""

MOST_TOGETHER = 12_000
"""A dome with more beads, or several that touch, is not solved by itself: time grows faster than beads."""


class Alone(NamedTuple):
    """A part that was solved by itself."""

    part: Part
    surface: Surface


def solve_large(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, *, progress: Progress = silent
) -> Surface:
    """Find the shape of a large work.

    Mounds are solved on nets of their own, the smallest first, as many as can be. The coarsened net then shows the
    others, and how all of it lies: there a dome that is known counts as flat work that covers as much of the table.
    Both are put together, and where no dome was solved the beads settle among each other; they are not pushed apart.

    Parameters
    ----------
    grid, ladder, levels
        Of the work, of more sizes than one.
    cloth
        Its net, which needs no hinges.
    progress
        Told what is being done.
    """
    base = bead_sizes.sizes[common_level(levels)]
    loose = cloth.hold < 1
    # Round a wrist a part would have to be turned into its place; no bracelet has so many beads.
    parts = domes(grid, loose) if isinstance(cloth.ground, Table) else []
    alone = _solved_alone(parts, bead_sizes, levels, cloth, progress)
    known = blended(np.zeros(grid.count), [(part, np.ones(part.grid.count)) for part, _ in alone])

    progress("surface, coarsened")
    coarsened = Coarse.of(grid)
    measures = np.stack(measures_mm(bead_sizes, levels))
    covered = [(part, _even(part, covered_mm(part.grid, found.centres_mm, base))) for part, found in alone]
    held = replace(cloth, hold=cloth.hold + known * (1 - cloth.hold), rise=cloth.rise * (1 - known))
    coarse = coarsened.cloth(held, blended(measures, covered), base)
    found = relax(coarse, progress=progress)

    near = cloth.start_mm + coarsened.spread(found.centres - coarse.start_mm)
    near = blended(near, [(part, _moved_along(part, shape, near)) for part, shape in alone])
    progress("surface, bead by bead")
    near = settled(grid, bead_sizes, levels, cloth, near_mm=near, loose=(loose | (known > 0)) & (known < 1))
    return Surface(
        grid=grid,
        bead_sizes=bead_sizes,
        levels=levels,
        net=cloth.net,
        ground=cloth.ground,
        centres_mm=cloth.ground.straightened(near, cloth.start_mm).T.copy(),
        converged=found.converged,
        iterations=found.iterations,
        coarsening=Coarsening(
            beads=coarsened.coarse.count,
            patch=float(np.sqrt(coarsened.across * coarsened.along)),
            domes=len(parts),
            alone=len(alone),
        ),
    )


def _solved_alone(
    parts: list[Part], bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, progress: Progress
) -> list[Alone]:
    """Solve the smallest parts, in the order of their lines; those that do not come to rest are left out."""
    common = common_level(levels)
    counts = np.array([part.grid.count for part in parts], dtype=np.int64)
    order = np.argsort(counts, kind="stable")
    chosen = order[(np.cumsum(counts[order]) <= MOST_ALONE) & (counts[order] <= MOST_TOGETHER)]
    found = []
    for place, number in enumerate(np.sort(chosen).tolist(), start=1):
        progress(f"surface, mound {place} of {chosen.size}")
        part = parts[number]
        own, sizes = part.alone(cloth, bead_sizes, levels, common)
        shape = solve_whole(part.grid, bead_sizes, sizes, own)
        if shape.converged:
            found.append(Alone(part, shape))
    return found


def _even(part: Part, covered: tuple[Floats, Floats]) -> Floats:
    """Spread what a part covers evenly over its beads, shape (2, beads).

    Where walls lean out beads cover less than nothing, and what lies around a part hardly knows of more than the sum.
    """
    return np.stack([np.full(part.grid.count, np.average(each, weights=part.weight)) for each in covered])


def _moved_along(part: Part, shape: Surface, near: Floats) -> Floats:
    """Return the centres of a part, shape (3, beads), moved to where its rim lies in the whole."""
    centres = shape.centres_mm.T.copy()
    rim = (part.weight > 0) & (part.weight < 1)
    if rim.any():
        centres[:2] += (near[:2, part.beads[rim]] - centres[:2, rim]).mean(axis=1, keepdims=True)
    return centres
