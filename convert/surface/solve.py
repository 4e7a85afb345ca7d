"""The predicted surface of a work."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from convert.surface.coarse import LEAST_SIDE, Coarse
from convert.surface.descent import Descent
from convert.surface.ground import Ground, Table, Wrist
from convert.surface.net import Net, measures_mm, net_of
from convert.surface.overlap import OVERLAP, overlaps
from convert.surface.relax import BENDING, Cloth, push_apart, relax, smoothed
from convert.surface.struts import NO_STRUTS, Struts
from shared.beads import BeadSize, Ladder
from shared.errors import BadChoiceError
from shared.grid import Grid

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_BEADS = 100_000
"""More beads are refused: minutes of work and gigabytes for a shape that a part of the work shows as well."""

MOST_WHOLE = 50_000
"""Larger works are solved on a coarsened net."""

SMOOTHING = 100
"""So many steps bring the beads of a work to rest among each other after that."""

MOST_PUSHES = 3
"""So often beads that pass through one another are pushed apart."""

MOST_PAIRS = 8
"""More pairs are a shape that folds over, which no push mends."""

FARTHEST = 1.0
"""No bead is pushed further, in units of the bead."""

CLOSE = 0.15
"""Struts leave beads sunk into each other by this share of the thinner one's diameter."""

LOOSE = 0.02
"""How much the ground holds raised beads and their neighbours, beside beads in flat work."""


@dataclass(frozen=True, eq=False, slots=True)
class Surface:
    """Where every bead comes to lie.

    Parameters
    ----------
    grid, ladder
        Those of the work.
    levels
        The rung of each bead, shape (beads,).
    net
        Contacts and rest lengths.
    ground
        What the work lies on.
    centres_mm
        Shape (beads, 3): x to the right and y down as in the grid, z up from the ground (a left-handed set
        of axes; x, z, y is right-handed). Centres of beads in flat work have z = 0. On a wrist y = 0 is the
        middle of the work, and the axis lies along x at z = -radius.
    converged
        Whether the shape came to rest. If not, the centres are no prediction.
    iterations
        Steps taken.
    coarse_beads
        The beads of the coarsened net on which the shape was found; 0 where it was that of the work itself.
    """

    grid: Grid
    ladder: Ladder
    levels: Ints
    net: Net
    ground: Ground
    centres_mm: Floats
    converged: bool
    iterations: int
    coarse_beads: int = 0

    def __post_init__(self) -> None:
        for array in (self.levels, self.centres_mm):
            array.flags.writeable = False

    @property
    def common(self) -> int:
        """The commonest rung, that of the flat work around the domes."""
        return common_level(self.levels)


def solve_surface(
    grid: Grid,
    ladder: Ladder,
    levels: Ints,
    *,
    wrist_mm: float | None = None,
    bending: float = BENDING,
    progress: Callable[[str], None] = lambda _: None,
) -> Surface:
    """Predict where every bead comes to lie.

    Parameters
    ----------
    grid
        The lattice.
    ladder
        The sizes with their measures.
    levels
        The rung of each bead, shape (beads,).
    wrist_mm
        Circumference of a wrist to lay the work round; a table if none is given.
    bending
        How stiffly this maker's cloth bends.
    progress
        Told what is being done.

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
    net = net_of(grid, ladder, levels)
    base = ladder.sizes[common_level(levels)]
    ground = Table() if wrist_mm is None else _wrist(grid, base, wrist_mm)
    start = ground.lay(grid.centres_mm(base.length_mm, base.diameter_mm).T)
    if (levels == levels[0]).all():
        # Work of one size lies flat: no descent comes as near to it as the sum does.
        found = Descent(start, 0, True)
    else:
        cloth = Cloth(
            net=net,
            start_mm=start,
            flat_rest_mm=net_of(grid, ladder, np.full_like(levels, common_level(levels))).rest_mm,
            hold=_hold(grid, levels),
            rise=_rise(ladder, levels),
            ground=ground,
            bending=bending,
        )
        if grid.count > MOST_WHOLE and min(grid.columns, grid.rows) >= LEAST_SIDE:
            return solve_coarsened(grid, ladder, levels, cloth, progress=progress)
        found = relax(cloth, progress=progress)

    def surface_of(found: Descent) -> Surface:
        centres = ground.straightened(found.centres, start) if found.iterations else start
        return Surface(grid, ladder, levels, net, ground, centres.T.copy(), found.converged, found.iterations)

    return surface_of(found) if not found.iterations else _apart(cloth, found, surface_of)


def solve_coarsened(
    grid: Grid,
    ladder: Ladder,
    levels: Ints,
    cloth: Cloth,
    *,
    progress: Callable[[str], None] = lambda _: None,
) -> Surface:
    """Find the shape on a coarsened net, carry it over to the work, and let its beads settle there.

    Beads that pass through one another are not pushed apart.

    Parameters
    ----------
    grid, ladder, levels
        Of the work, of more sizes than one.
    cloth
        The net of the work itself.
    progress
        Told what is being done.
    """
    coarsened = Coarse.of(grid)
    coarse = coarsened.cloth(cloth, measures_mm(ladder, levels), ladder.sizes[common_level(levels)])
    found = relax(coarse, progress=progress)
    progress("surface, bead by bead")
    near = cloth.start_mm + coarsened.spread(found.centres - coarse.start_mm)
    centres = cloth.ground.straightened(smoothed(cloth, near, SMOOTHING), cloth.start_mm)
    return Surface(
        grid=grid,
        ladder=ladder,
        levels=levels,
        net=cloth.net,
        ground=cloth.ground,
        centres_mm=centres.T.copy(),
        converged=found.converged,
        iterations=found.iterations + SMOOTHING,
        coarse_beads=coarsened.coarse.count,
    )


def _apart(cloth: Cloth, found: Descent, surface_of: Callable[[Descent], Surface]) -> Surface:
    """Put struts between beads that pass through one another; give the shape before it where that does not help.

    It helps when no overlap is left and no bead has moved far: a shape that is pushed over into another one, with
    its symmetry lost, would be no better a prediction than one whose overlaps are named.
    """
    before = surface = surface_of(found)
    struts = NO_STRUTS
    for _ in range(MOST_PUSHES):
        near = overlaps(surface, limit=CLOSE)
        deep = int((near.depths > OVERLAP).sum())
        if not found.converged or not deep:
            return surface
        if deep > MOST_PAIRS:
            return before
        shortest = near.apart_mm + (near.depths - CLOSE) * near.thinner_mm
        struts = Struts(np.concatenate([struts.pairs, near.pairs]), np.concatenate([struts.shortest_mm, shortest]))
        found = push_apart(cloth, found.centres, struts)
        found = found._replace(iterations=surface.iterations + found.iterations)
        surface = surface_of(found)
        moved = np.linalg.norm(surface.centres_mm - before.centres_mm, axis=1).max()
        if not found.converged or moved > FARTHEST * cloth.flat_rest_mm.mean():
            return before
    return before if overlaps(surface).pairs.size else surface


def common_level(levels: Ints) -> int:
    """Return the commonest level, the lower of two that are equally common."""
    return int(np.bincount(levels).argmax())


def _wrist(grid: Grid, base: BeadSize, wrist_mm: float) -> Wrist:
    if not 0 < wrist_mm < math.inf:
        raise BadChoiceError(f"a wrist of {wrist_mm:g} mm is none; give its circumference, above zero")
    radius = wrist_mm / (2 * math.pi) + base.diameter_mm / 2
    long = grid.extent_mm(base.length_mm, base.diameter_mm)[1]
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


def _rise(ladder: Ladder, levels: Ints) -> Floats:
    """Return how much each bead is larger than the smallest, as a logarithm."""
    length, diameter = measures_mm(ladder, levels)
    size: Floats = np.log(length * diameter) / 2
    return np.asarray(size - size.min())
