"""Stray beads and needless colour changes go, as long as that is worth its cost in colour.

The energy of a pattern is the sum of the beads' CIEDE2000 to the picture, and of the strength for each pair of beads
of different colour that touch, or lie two columns apart in one row (there they follow each other on the needle). It
is lowered by iterated conditional modes: J. Besag, "On the Statistical Analysis of Dirty Pictures", Journal of the
Royal Statistical Society B 48(3), 1986.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.colouring.pattern_stats import PatternStats, measure_pattern
from shared.arrays import Bools, Floats, Ints
from shared.ciede2000 import ciede2000
from shared.grid import DIAGONALS, Grid

LEAST_GAIN = 1e-3
"""The energy must fall by this; gains are rounded to it, so that rounding of sums does not decide."""

_BLOCK = 4096


class Smoothed(NamedTuple):
    """Colours of the beads after tidying, and what it cost and saved."""

    labels: Ints
    """The colour of each bead, shape (beads,)."""
    errors: Floats
    """CIEDE2000 of each bead to the picture, shape (beads,)."""
    before: PatternStats
    """Figures of the colours as they came."""
    after: PatternStats
    """Figures of the colours now."""


class _Pattern(NamedTuple):
    """What does not change while a pattern is tidied."""

    cells_lab: NDArray[np.float32]
    palette_lab: NDArray[np.float32]
    pulling: Ints
    """The beads that pull at each bead, shape (8, beads); the count of beads where there is none."""
    turn: Ints
    """The class of each bead on the lattice, 0 … 3, or 0 … 7 in two-drop; beads that pull at each other are of
    different classes."""
    allowed: Bools
    """Whether a bead may take a colour, shape (levels, colours)."""
    levels: Ints
    strength: float


class _BestChanges(NamedTuple):
    """The best change of each bead as things stand."""

    gain: Floats
    label: Ints
    error: Floats


def smooth_labels(
    cells_lab: Floats,
    palette_lab: Floats,
    labels: Ints,
    grid: Grid,
    *,
    strength: float,
    levels: Ints | None = None,
    ink: Bools | None = None,
    allowed: Bools | None = None,
) -> Smoothed:
    """Give beads the colour of a bead next to them where that lowers the energy.

    In each round those beads change whose gain is the greatest among all that pull at each other, so the result
    does not depend on where one begins; between equal gains the class on the lattice decides. Only beads next to a
    change are looked at again.

    Parameters
    ----------
    cells_lab
        The picture over each bead, CIELAB, shape (beads, 3).
    palette_lab
        The colours, shape (colours, 3).
    labels
        The colour of each bead, shape (beads,).
    grid
        The lattice.
    strength
        What a change of colour between two beads weighs, in units of CIEDE2000; 0 leaves all as it is.
    levels
        The level of each bead, shape (beads,); beads of different levels do not pull at each other, so that no edge of
        the height map is blurred. None for flat work.
    ink
        Whether a bead belongs to a drawn line, shape (beads,); ink and ground do not pull at each other, so that no
        line is rubbed out. None where nothing is drawn in lines.
    allowed
        Which colour exists on which level, shape (colours, levels). None for all.

    Returns
    -------
    Smoothed
        With labels as given where nothing could be gained.
    """
    levels = np.zeros(grid.count, dtype=np.int64) if levels is None else levels
    ink = np.zeros(grid.count, dtype=bool) if ink is None else ink
    table = np.ones((int(levels.max()) + 1, len(palette_lab)), dtype=bool) if allowed is None else allowed.T
    cells32, palette32 = cells_lab.astype(np.float32), palette_lab.astype(np.float32)
    pattern = _Pattern(
        cells32, palette32, _pulling_beads(grid, levels * 2 + ink), _lattice_class(grid), table, levels, strength
    )
    errors = _errors(cells32, palette32[labels])
    new_labels, new_errors = (labels, errors) if strength == 0 else _change_until_settled(pattern, labels, errors)
    return Smoothed(
        new_labels,
        new_errors,
        measure_pattern(labels, levels, errors, grid),
        measure_pattern(new_labels, levels, new_errors, grid),
    )


def _pulling_beads(grid: Grid, groups: Ints) -> Ints:
    """Return the beads of the same group that touch each bead, or are next to it in its row; shape (8, beads).

    The other bead of a pair is both, and counts once.
    """
    row, number = grid.row_of, np.arange(grid.count)
    same = row[1:] == row[:-1]
    before = np.append(-1, np.where(same, number[:-1], -1))
    after = np.append(np.where(same, number[1:], -1), -1)
    pulling = np.full((DIAGONALS + 2, grid.count), grid.count)
    for place, near in enumerate((*grid.neighbours.T[:DIAGONALS], before, after)):
        np.copyto(pulling[place], near, where=(near >= 0) & (groups[near] == groups))
    return pulling


def _lattice_class(grid: Grid) -> Ints:
    """Return a class by parity along the two diagonals: there contacts and row neighbours are steps of a chess king.

    A king's step changes the parity along one diagonal or both, so beads of one class never pull at each other: between
    equal gains the class names a winner that does not depend on the order in which beads are looked at. In two-drop the
    steps of a king are those from pair to pair, and the two beads of a pair differ besides.
    """
    group, in_group = grid.group_of(grid.column_of), (grid.column_of - 1) % grid.drop
    rising, falling = (grid.row_of + group) // 2, (grid.row_of - group) // 2
    return np.asarray(4 * in_group + 2 * (rising % 2) + falling % 2)


def _errors(cells_lab: NDArray[np.float32], colours_lab: NDArray[np.float32]) -> Floats:
    blocks = [slice(top, top + _BLOCK) for top in range(0, len(cells_lab), _BLOCK)]
    return np.concatenate([ciede2000(cells_lab[block], colours_lab[block]) for block in blocks]).astype(np.float64)


def _change_until_settled(pattern: _Pattern, labels: Ints, errors: Floats) -> tuple[Ints, Floats]:
    """Change beads until no change is a gain."""
    nobody = len(labels)
    now, errors = np.append(labels, -1), errors.copy()
    best = _BestChanges(np.zeros(nobody + 1), np.append(labels, -1), np.zeros(nobody))
    differs = np.zeros(nobody, dtype=bool)
    for near in pattern.pulling:
        differs |= (now[near] != labels) & (near < nobody)
    asked = differs.nonzero()[0]
    while True:
        for top in range(0, len(asked), _BLOCK):
            _find_best_changes(pattern, now, errors, asked[top : top + _BLOCK], best)
        changed = _first_to_change(pattern, best.gain)
        if not changed.size:
            return now[:-1], errors
        now[changed], errors[changed] = best.label[changed], best.error[changed]
        touched = np.zeros(nobody + 1, dtype=bool)
        touched[changed] = True
        touched[pattern.pulling[:, changed]] = True
        asked = touched[:-1].nonzero()[0]


def _first_to_change(pattern: _Pattern, gain: Floats) -> Ints:
    """Return the beads that gain more than any bead that pulls at them."""
    willing = (gain > 0).nonzero()[0]
    rivals = pattern.pulling[:, willing]
    turn = np.append(pattern.turn, -1)
    mine, theirs = gain[willing], gain[rivals]
    first = (mine > theirs) | ((mine == theirs) & (turn[willing] > turn[rivals]))
    return np.asarray(willing[first.all(axis=0)])


def _find_best_changes(pattern: _Pattern, now: Ints, errors: Floats, beads: Ints, best: _BestChanges) -> None:
    """Work out anew what some beads would best become."""
    own, near = now[beads], now[pattern.pulling[:, beads]]
    alike = np.stack([near == label for label in near])
    possible = (near != own) & (near >= 0) & pattern.allowed[pattern.levels[beads], near]
    possible &= np.stack([~alike[place, :place].any(axis=0) for place in range(len(near))])
    place, bead = possible.nonzero()
    cost = np.full(near.shape, np.inf)
    cost[place, bead] = ciede2000(pattern.cells_lab[beads[bead]], pattern.palette_lab[near[place, bead]])
    more_alike = alike.sum(axis=1, dtype=np.int8) - (near == own).sum(axis=0, dtype=np.int8)
    saved = errors[beads] - cost + pattern.strength * more_alike
    chosen = _best_place(saved, cost), np.arange(len(beads))
    # Gains in whole steps: sums that differ only by rounding are equal, and are decided by the class, not by chance.
    best.gain[beads] = np.maximum(np.floor(saved[chosen] / LEAST_GAIN), 0) * LEAST_GAIN
    best.label[beads], best.error[beads] = near[chosen], cost[chosen]


def _best_place(saved: Floats, cost: Floats) -> Ints:
    """Return where most is saved; between equals, the colour nearest to the picture."""
    good = saved >= saved.max(axis=0) - LEAST_GAIN / 2
    return np.asarray(np.where(good, cost, np.inf).argmin(axis=0))
