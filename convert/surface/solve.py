"""From sizes to a predicted surface: what is asked is checked, and a net laid out flat to be solved."""

import math

import numpy as np

from convert.progress import Progress, silent
from convert.surface.coarse import LEAST_SIDE
from convert.surface.continuation import BENDING, Cloth
from convert.surface.large import solve_large
from convert.surface.solve_net import solve_bead_by_bead
from convert.surface.spring_net import flat_rest_mm, make_net, make_unhinged_net, measures_mm
from convert.surface.support import Tabletop, Wrist
from convert.surface.surface import Surface, common_level
from shared.arrays import Floats, Ints
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid

MOST_BEADS = 1_000_000
"""More beads are refused: gigabytes for a shape that a part of the work shows as well."""

MOST_NARROW = 100_000
"""As many of works too narrow for a coarsened net."""

MOST_WHOLE = 50_000
"""Larger works are solved on a coarsened net, and their domes on nets of their own."""

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
    wide = min(grid.columns, grid.rows) >= LEAST_SIDE
    most = MOST_BEADS if wide else MOST_NARROW
    if grid.count > most:
        raise BadChoiceError(
            f"{grid.count:,} beads are too many for a predicted surface{'' if wide else ' so narrow'}; "
            f"give at most {most:,}, or a part of the work"
        )
    levels = np.array(levels, dtype=np.int64)
    large = wide and grid.count > MOST_WHOLE
    net = make_unhinged_net(grid, bead_sizes, levels) if large else make_net(grid, bead_sizes, levels)
    base = bead_sizes.sizes[common_level(levels)]
    ground = Tabletop() if wrist_mm is None else _wrist(grid, base, wrist_mm)
    start = ground.lay(grid.centres_mm(base.length_mm, base.diameter_mm).T)
    if (levels == levels[0]).all():
        # Work of one size lies flat: no descent comes as near to it as the sum does.
        return Surface(grid, bead_sizes, levels, net, ground, start.T.copy(), True, 0)
    cloth = Cloth(
        net=net,
        start_mm=start,
        flat_rest_mm=flat_rest_mm(net, base),
        hold=_hold(grid, levels),
        rise=_rise(bead_sizes, levels),
        ground=ground,
        bending=bending,
    )
    return (solve_large if large else solve_bead_by_bead)(grid, bead_sizes, levels, cloth, progress=progress)


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


def _rise(bead_sizes: BeadSizes, levels: Ints) -> Floats:
    """Return how much each bead is larger than the smallest, as a logarithm."""
    length, diameter = measures_mm(bead_sizes, levels)
    size: Floats = np.log(length * diameter) / 2
    return np.asarray(size - size.min())
