"""Works too large for one net: a coarsened one for the whole, and domes on nets of their own."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from convert.progress import Progress, silent
from convert.surface.coarse import CoarseWork
from convert.surface.continuation import Cloth, relax, smooth_beads
from convert.surface.parts import Window, WorkPart, blend, covered_mm, cut_out_domes
from convert.surface.solve_net import solve_bead_by_bead
from convert.surface.spring_net import measures_mm
from convert.surface.support import Tabletop
from convert.surface.surface import Coarsening, Surface, common_level
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSizes
from shared.grid import Grid

MOST_ALONE = 100_000
"""At most so many beads are solved on nets of domes, the smallest domes first; the coarsened net shows the others."""

MOST_TOGETHER = 12_000
"""A dome with more beads, or several that touch, is not solved by itself: time grows faster than beads."""


class SolvedPart(NamedTuple):
    """A part that was solved by itself."""

    part: WorkPart
    surface: Surface


def solve_large(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, *, progress: Progress = silent
) -> Surface:
    """Find the shape of a large work, from its cloth, which needs no hinges.

    Domes are solved on nets of their own, the smallest first, as many as can be. The coarsened net then shows the
    others, and how all of it lies: there a dome that is known counts as flat work that covers as much of the table.
    Both are put together, and where no dome was solved the beads settle among each other; they are not pushed apart.
    """
    base = bead_sizes.sizes[common_level(levels)]
    loose = cloth.hold < 1
    # Round a wrist a part would have to be turned into its place; no bracelet has so many beads.
    parts = cut_out_domes(grid, loose) if isinstance(cloth.ground, Tabletop) else []
    alone = _solve_alone(parts, bead_sizes, levels, cloth, progress)
    known = blend(np.zeros(grid.count), [(part, np.ones(part.grid.count)) for part, _ in alone])

    progress("surface, coarsened")
    coarsened = CoarseWork.of(grid)
    measures = np.stack(measures_mm(bead_sizes, levels))
    covered = [(part, _spread_evenly(part, covered_mm(part.grid, found.centres_mm, base))) for part, found in alone]
    held = replace(cloth, hold=cloth.hold + known * (1 - cloth.hold), rise=cloth.rise * (1 - known))
    coarse = coarsened.cloth(held, blend(measures, covered), base)
    found = relax(coarse, progress=progress)

    near = cloth.start_mm + coarsened.spread(found.centres - coarse.start_mm)
    near = blend(near, [(part, _move_along(part, shape, near)) for part, shape in alone])
    progress("surface, bead by bead")
    near = settle_beads(
        grid, bead_sizes, levels, cloth, near_mm=near, loose=(loose | (known > 0)) & (known < 1), progress=progress
    )
    return Surface(
        grid=grid,
        bead_sizes=bead_sizes,
        levels=levels,
        net=cloth.net,
        ground=cloth.ground,
        centres_mm=cloth.ground.straighten(near, cloth.start_mm).T.copy(),
        converged=found.converged,
        iterations=found.iterations,
        coarsening=Coarsening(
            beads=coarsened.coarse.count,
            patch=float(np.sqrt(coarsened.across * coarsened.along)),
            domes=len(parts),
            alone=len(alone),
        ),
    )


def _solve_alone(
    parts: list[WorkPart], bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, progress: Progress
) -> list[SolvedPart]:
    """Solve the smallest parts, in the order of their lines; those that do not come to rest are left out."""
    common = common_level(levels)
    counts = np.array([part.grid.count for part in parts], dtype=np.int64)
    order = np.argsort(counts, kind="stable")
    chosen = order[(np.cumsum(counts[order]) <= MOST_ALONE) & (counts[order] <= MOST_TOGETHER)]
    found = []
    for place, number in enumerate(np.sort(chosen).tolist(), start=1):
        progress(f"surface, dome {place} of {chosen.size}")
        part = parts[number]
        own, sizes = part.alone(cloth, bead_sizes, levels, common)
        shape = solve_bead_by_bead(part.grid, bead_sizes, sizes, own, progress=lambda _: progress(""))
        if shape.converged:
            found.append(SolvedPart(part, shape))
    return found


def _spread_evenly(part: WorkPart, covered: tuple[Floats, Floats]) -> Floats:
    """Spread what a part covers evenly over its beads, shape (2, beads).

    Where walls lean out beads cover less than nothing, and what lies around a part hardly knows of more than the sum.
    """
    return np.stack([np.full(part.grid.count, np.average(each, weights=part.weight)) for each in covered])


def _move_along(part: WorkPart, shape: Surface, near: Floats) -> Floats:
    """Return the centres of a part, shape (3, beads), moved to where its rim lies in the whole."""
    centres = shape.centres_mm.T.copy()
    rim = (part.weight > 0) & (part.weight < 1)
    if rim.any():
        centres[:2] += (near[:2, part.beads[rim]] - centres[:2, rim]).mean(axis=1, keepdims=True)
    return centres


TILE = 96
"""Columns of a tile, which has twice as many rows."""

RIM = 8
"""Columns around a tile that settle with it, and half as many as the rows that do."""

MOST_SETTLING, LEAST_SETTLING = 100, 25
"""Steps that bring beads near rest to rest, at most and at least."""

EFFORT = 12_000_000
"""Beads times steps are about so many at most, as far as the least steps allow."""


def settle_beads(
    grid: Grid,
    bead_sizes: BeadSizes,
    levels: Ints,
    cloth: Cloth,
    *,
    near_mm: Floats,
    loose: Bools,
    progress: Progress = silent,
) -> Floats:
    """Let beads near rest settle among those around them, in tiles that hold loose ones; shape (3, beads).

    Tile by tile memory stays bounded. Tiles overlap, and each begins with the beads as the one before left them:
    alternating as in H. A. Schwarz, "Ueber einen Grenzübergang durch alternirendes Verfahren", 1870.
    """
    windows = _tiles(grid, loose)
    work = sum((each.bottom - each.top + 1) * (each.right - each.left + 1) // 2 for each in windows)
    steps = min(MOST_SETTLING, max(LEAST_SETTLING, EFFORT // max(work, 1)))
    centres, common = near_mm.copy(), common_level(levels)
    for each in windows:
        tile = WorkPart.of(grid, each, frame=RIM)
        part = tile.cloth(cloth, bead_sizes, levels[tile.beads], common)
        centres[:, tile.beads] = smooth_beads(
            part, centres[:, tile.beads], steps, free=_inner(grid, tile), progress=progress
        )
    return centres


def _inner(grid: Grid, tile: WorkPart) -> Bools:
    """Return the beads of a tile that are over two contacts from what lies outside, shape (beads of the tile,).

    The tile has all that they stretch and bend.
    """
    inner = np.zeros(grid.count, dtype=bool)
    inner[tile.beads] = True
    around = grid.neighbours[tile.beads]
    for _ in range(2):
        inner[tile.beads] &= (inner[around] | (around < 0)).all(axis=1)
    return np.asarray(inner[tile.beads])


def _tiles(grid: Grid, loose: Bools) -> list[Window]:
    """Return the window of each tile that holds loose beads."""
    wide, high = -(-grid.columns // TILE), -(-grid.rows // (2 * TILE))
    right, down = (grid.column_of - 1) * wide // grid.columns, (grid.row_of - 1) * high // grid.rows
    tiles = np.unique((down * wide + right)[loose])
    return [
        Window(
            top=-(-(tile // wide) * grid.rows // high) + 1,
            bottom=-(-(tile // wide + 1) * grid.rows // high),
            left=-(-(tile % wide) * grid.columns // wide) + 1,
            right=-(-(tile % wide + 1) * grid.columns // wide),
        )
        for tile in tiles.tolist()
    ]
