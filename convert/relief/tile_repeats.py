"""The rounds of a motif become a work: all alike bead for bead, under the size-step rule across every seam.

Everything is worked out once, on a few rounds one after another, and the middle one is taken, which sees itself on both
sides.
"""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from convert.layout.repeat import Lap, Rounds
from convert.options import Options, Slopes
from convert.relief.size_steps import keep_size_step_rule
from convert.relief.work import Whole, Work
from shared.arrays import Ints
from shared.colour import codes_from_hex, lab_from_codes
from shared.grid import Grid

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

TILES = 3
"""So many rounds are coloured together."""


def repeated(cells_lab: Floats, ink: Bools | None, wanted: Ints, lap: Lap, options: Options) -> tuple[Work, Ints]:
    """Lay what is seen of a motif over a few rounds, ready to be coloured.

    Parameters
    ----------
    cells_lab, ink, wanted
        Colours, which beads are ink, and wanted levels over all of the lap, each with one entry for each bead.
    lap
        Where the motif is in them.
    options
        The ladder and its slopes, and the ground, which plain rows show if it is given.

    Returns
    -------
    work, cut
        How far the level of each bead of the whole work was moved from what was wanted, shape (beads,).
    """
    tiles, part = tiles_of(lap), lap.beads
    whole = whole_work(wanted[part], tiles, slopes=options.slopes)
    cells_lab, levels = tiled(cells_lab[part], tiles), tiled(levels_of_round(whole, tiles), tiles)
    if options.ground is not None and lap.rounds.plain:
        lead = tiles.grid.row_slice(1, tiles.motif.start - tiles.rows - 1)
        cells_lab[lead], levels[lead] = lab_from_codes(codes_from_hex(options.ground)), 0
    seen_ink = None if ink is None else tiled(ink[part], tiles)
    cut = whole.levels - whole.spread(tiled(wanted[part], tiles), 0)
    return Work(tiles.grid, options.bead_sizes, cells_lab, levels, seen_ink, whole), cut


def tiles_of(lap: Lap) -> Lap:
    """Return the lattice of the rounds that are coloured together, with the middle one as its motif.

    Before them stand a row or two: of the round before, or of the foundation.
    """
    lead = lap.rounds.first_rows % 2 or 2
    return Lap(replace(lap.grid, rows=lead + TILES * lap.rows), lead + lap.rows, lap.rounds)


def tiled(values: NDArray[Any], tiles: Lap) -> NDArray[Any]:
    """Lay values of the motif's beads, shape (motif beads, …), over all tiles and the rows before them."""
    before = np.arange(tiles.grid.count) - tiles.beads.start
    return np.asarray(values[before % len(values)])


def whole_work(wanted: Ints, tiles: Lap, *, slopes: Slopes) -> Whole:
    """Lay the motif over the work, under the size-step rule across each seam and at both ends.

    Foundation and end stay flat, so slopes to them are cut out of the motif, of every round alike.

    Parameters
    ----------
    wanted
        Levels of the motif's beads, shape (motif beads,).
    tiles
        The rounds that are worked out.
    slopes
        See `convert.relief.size_steps.keep_size_step_rule`.
    """
    grid = replace(tiles.grid, rows=tiles.rounds.total)
    motif = _motif_bead(grid, tiles.rounds)
    seen = motif >= 0
    levels = np.where(seen, wanted[motif], 0)
    if slopes == "widen":
        levels = np.where(seen, _ruled_alike(levels, motif, grid, slopes), 0)
    levels = _ruled_alike(levels, motif, grid, "trim")
    return Whole(grid, np.where(seen, tiles.beads.start + motif, -1), levels)


def levels_of_round(whole: Whole, tiles: Lap) -> Ints:
    """Return the levels of a round, which all of them have, shape (motif beads,)."""
    seen = whole.source >= 0
    levels = np.zeros(tiles.beads.stop - tiles.beads.start, dtype=np.int64)
    levels[whole.source[seen] - tiles.beads.start] = whole.levels[seen]
    return levels


def _motif_bead(grid: Grid, rounds: Rounds) -> Ints:
    """Return which bead of the motif each bead of a work equals, shape (beads,); -1 for plain ones."""
    row = grid.row_of
    if rounds.mirrored:
        row = np.minimum(row, grid.rows + 1 - row)
    plain = (row <= rounds.first_rows) | (row > grid.rows - rounds.last_rows)
    first = rounds.first_rows + 1
    in_first = grid.bead_at(first + (row - first) % rounds.rows, grid.column_of)
    return np.where(plain, -1, in_first - grid.row_slice(first).start)


def _ruled_alike(levels: Ints, motif: Ints, grid: Grid, slopes: Slopes) -> Ints:
    """Keep the size-step rule with all rounds alike: the highest such field under the levels, or the lowest over."""
    while True:
        ruled = keep_size_step_rule(levels, grid, slopes=slopes)
        alike = _alike(ruled, motif, slopes)
        if np.array_equal(alike, levels):
            return levels
        levels = alike


def _alike(levels: Ints, motif: Ints, slopes: Slopes) -> Ints:
    """Give all beads that equal one bead of the motif the lowest of their levels, or the highest."""
    seen = motif >= 0
    extreme, none = (np.minimum, np.iinfo(np.int64).max) if slopes == "trim" else (np.maximum, -1)
    of_motif = np.full(int(motif.max()) + 1, none)
    extreme.at(of_motif, motif[seen], levels[seen])
    return np.where(seen, of_motif[motif], levels)
