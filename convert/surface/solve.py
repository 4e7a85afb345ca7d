"""From sizes to a predicted surface: a net laid out flat comes to rest, and beads are pushed apart where they meet."""

import math
from collections.abc import Callable

import numpy as np

from convert.progress import Progress, silent
from convert.surface.continuation import BENDING, REST, Cloth, relax, settle
from convert.surface.lbfgs import Descent
from convert.surface.overlap import NO_STRUTS, OVERLAP, Struts, find_overlaps
from convert.surface.spring_net import flat_rest_mm, make_net, measures_mm
from convert.surface.support import Tabletop, Wrist
from convert.surface.surface import Surface, common_level
from shared.arrays import Floats, Ints
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid

MOST_BEADS = 100_000
"""More beads are refused: 100,000 take about a minute and 0.8 GB, and twice as many three times that."""

MOST_EXACT = 50_000
"""Larger works end at `ENOUGH`, by the same way: what is left out is the end, over half of the time."""

ENOUGH = 1e-3
"""No bead of a large work wants to move by more at rest, in units of the bead.

On works of 50,500 beads, against the same solved to `REST`: chained domes of radius 4.5, their feet apart or nearly
touching, differ by 0.04 and 0.09 % in length, by 0.2 and 1.7 % in height, and take 12 s for 26 to 34 s; of radius 8 by
0.02 and 0.2 %, 25 s for 74 s; a few of radius 6 by 0.00 and 0.2 %, 6 s for 13 s; areas of radius 20, too wide for their
step, by 0.00 and 7.6 %, 62 s for 101 s; sizes at random by 0.07 % and up to 0.7 mm, 10 s for 57 s. All took 0.3 GB.
"""

MOST_PUSHES = 3
"""Beads that pass through one another are pushed apart at most n times: each push may press others together."""

MOST_PAIRS = 8
"""More pairs are a shape that folds over, which no push mends."""

FARTHEST = 1.0
"""No bead is pushed further, in units of the bead."""

CLOSE = 0.15
"""Struts leave beads sunk into each other by this share of the thinner one's diameter."""

LOOSE = 0.02
"""How much the ground holds raised beads and their neighbours, where it holds flat work by 1."""


def solve_surface(
    grid: Grid,
    bead_sizes: BeadSizes,
    levels: Ints,
    *,
    wrist_mm: float | None = None,
    bending: float = BENDING,
    progress: Progress = silent,
) -> Surface:
    """Predict where every bead comes to lie.

    Parameters
    ----------
    grid
        The lattice.
    bead_sizes
        The sizes with their measures.
    levels
        The level of each bead, shape (beads,).
    wrist_mm
        Circumference of a wrist to lay the work round; a table if none is given.
    bending
        How stiffly this maker's cloth bends.
    progress
        Told what is being done; may raise to stop it.

    Raises
    ------
    BadChoiceError
        When the levels do not fit, the beads are too many, or the work goes round the wrist more than once.
    """
    if grid.count > MOST_BEADS:
        raise BadChoiceError(
            f"{grid.count:,} beads are too many for a predicted surface; give at most {MOST_BEADS:,}, "
            "or a part of the work"
        )
    levels = np.array(levels, dtype=np.int64)
    net = make_net(grid, bead_sizes, levels)
    flat = bead_sizes.sizes[common_level(levels)]
    ground = Tabletop() if wrist_mm is None else _wrist(grid, flat, wrist_mm)
    start = ground.lay(grid.centres_mm(flat.length_mm, flat.diameter_mm).T)
    if (levels == levels[0]).all():
        # Work of one size lies flat: no descent comes as near to it as the sum does.
        return Surface(grid, bead_sizes, levels, net, ground, start.T.copy(), True, 0)
    cloth = Cloth(
        net=net,
        start_mm=start,
        flat_rest_mm=flat_rest_mm(net, flat),
        hold=_hold(grid, levels),
        rise=_rise(bead_sizes, levels),
        ground=ground,
        bending=bending,
    )
    rest = REST if grid.count <= MOST_EXACT else ENOUGH

    def surface_of(found: Descent) -> Surface:
        centres = ground.straighten(found.centres, start) if found.iterations else start
        return Surface(grid, bead_sizes, levels, net, ground, centres.T.copy(), found.converged, found.iterations)

    found = relax(cloth, rest=rest, progress=progress)
    return _separate(cloth, found, surface_of, rest, progress) if found.iterations else surface_of(found)


def _wrist(grid: Grid, flat: BeadSize, wrist_mm: float) -> Wrist:
    if not 0 < wrist_mm < math.inf:
        raise BadChoiceError(f"a wrist of {wrist_mm:g} mm is none; give its circumference, above zero")
    radius = wrist_mm / (2 * math.pi) + flat.diameter_mm / 2
    long = grid.extent_mm(flat.length_mm, flat.diameter_mm)[1]
    if long > 2 * math.pi * radius:
        raise BadChoiceError(
            f"work {long:.0f} mm long goes round a wrist of {wrist_mm:g} mm more than once; "
            "use fewer rows or a larger wrist"
        )
    return Wrist(radius)


def _hold(grid: Grid, levels: Ints) -> Floats:
    """Return how much the ground holds each bead: fully in flat work."""
    common = common_level(levels)
    around = np.where(grid.neighbours >= 0, levels[grid.neighbours], common)
    return np.where((levels == common) & (around == common).all(axis=1), 1.0, LOOSE)


def _rise(bead_sizes: BeadSizes, levels: Ints) -> Floats:
    """Return how much each bead is larger than the smallest, as a logarithm."""
    length, diameter = measures_mm(bead_sizes, levels)
    size: Floats = np.log(length * diameter) / 2
    return np.asarray(size - size.min())


def _separate(
    cloth: Cloth, found: Descent, surface_of: Callable[[Descent], Surface], rest: float, progress: Progress
) -> Surface:
    """Put struts between beads that pass through one another; give the shape before it where that does not help.

    It helps when no overlap is left and no bead has moved far: a shape that is pushed over into another one, with
    its symmetry lost, would be no better a prediction than one whose overlaps are named.
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
        found = settle(cloth, found.centres, struts=struts, rest=rest, progress=progress)
        found = found._replace(iterations=surface.iterations + found.iterations)
        surface = surface_of(found)
        moved = np.linalg.norm(surface.centres_mm - before.centres_mm, axis=1).max()
        if not found.converged or moved > FARTHEST * cloth.flat_rest_mm.mean():
            return before
    return before if find_overlaps(surface).pairs.size else surface
