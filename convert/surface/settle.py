"""The beads of a large work come to rest among each other, tile by tile, so that memory stays bounded.

Tiles overlap, and each begins with the beads as the one before left them: alternating as in H. A. Schwarz, "Ueber einen
Grenzübergang durch alternirendes Verfahren", 1870.
"""

import numpy as np

from convert.surface.continuation import Cloth, smoothed
from convert.surface.parts import Lines, Part
from convert.surface.surface import common_level
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSizes
from shared.grid import Grid

TILE = 96
"""Columns of a tile, which has twice as many rows."""

RIM = 8
"""So many columns, and twice as many rows, around a tile settle with it."""

MOST_STEPS, LEAST_STEPS = 100, 25
"""So many steps bring the beads to rest."""

EFFORT = 12_000_000
"""Beads times steps are about so many at the most, as far as the least steps allow."""


def settled(grid: Grid, bead_sizes: BeadSizes, levels: Ints, cloth: Cloth, *, near_mm: Floats, loose: Bools) -> Floats:
    """Let beads near rest settle among those around them, in tiles that hold loose ones; shape (3, beads).

    Parameters
    ----------
    grid, ladder, levels
        Of the work.
    cloth
        Its net, which needs no hinges.
    near_mm
        Centres, shape (3, beads).
    loose
        The beads that settling is for, shape (beads,).
    """
    lines = _tiles(grid, loose)
    work = sum((each.bottom - each.top + 1) * (each.right - each.left + 1) // 2 for each in lines)
    steps = min(MOST_STEPS, max(LEAST_STEPS, EFFORT // max(work, 1)))
    centres, common = near_mm.copy(), common_level(levels)
    for each in lines:
        tile = Part.of(grid, each, frame=RIM)
        part = tile.cloth(cloth, bead_sizes, levels[tile.beads], common)
        centres[:, tile.beads] = smoothed(part, centres[:, tile.beads], steps, free=_inner(grid, tile))
    return centres


def _inner(grid: Grid, tile: Part) -> Bools:
    """Return the beads of a tile that are over two contacts from what lies outside, shape (beads of the tile,).

    The tile has all that they stretch and bend.
    """
    inner = np.zeros(grid.count, dtype=bool)
    inner[tile.beads] = True
    around = grid.neighbours[tile.beads]
    for _ in range(2):
        inner[tile.beads] &= (inner[around] | (around < 0)).all(axis=1)
    return np.asarray(inner[tile.beads])


def _tiles(grid: Grid, loose: Bools) -> list[Lines]:
    """Return the lines of each tile that holds loose beads."""
    wide, high = -(-grid.columns // TILE), -(-grid.rows // (2 * TILE))
    right, down = (grid.column_of - 1) * wide // grid.columns, (grid.row_of - 1) * high // grid.rows
    tiles = np.unique((down * wide + right)[loose])
    return [
        Lines(
            top=-(-(tile // wide) * grid.rows // high) + 1,
            bottom=-(-(tile // wide + 1) * grid.rows // high),
            left=-(-(tile % wide) * grid.columns // wide) + 1,
            right=-(-(tile % wide + 1) * grid.columns // wide),
        )
        for tile in tiles.tolist()
    ]
