"""What can be read off a predicted surface: domes, finished size, strain, curvature."""

from dataclasses import dataclass

import numpy as np

from convert.surface.spring_net import Net, measures_mm
from convert.surface.support import Tabletop
from convert.surface.surface import Surface
from shared.arrays import Bools, Floats, Ints
from shared.domes import domes_of, raised_beads
from shared.errors import BadChoiceError
from shared.grid import Grid

ROUND = 0.05
"""A ring less wide than this share of its length fixes no plane."""


@dataclass(frozen=True, slots=True)
class SolvedDome:
    """A group of raised beads that hang together.

    Parameters
    ----------
    height_mm
        The highest centre over the plane of the flat beads around it, two contacts from it.
    rows, columns
        First and last that hold a bead of it.
    peak_row, peak_column
        Where the highest bead lies.
    beads
        How many beads it has.
    """

    height_mm: float
    rows: tuple[int, int]
    columns: tuple[int, int]
    peak_row: int
    peak_column: int
    beads: int


@dataclass(frozen=True, slots=True)
class SurfaceFigures:
    """The figures of a prediction.

    Parameters
    ----------
    domes
        In the order of their first beads.
    length_mm, width_mm
        Of the finished work, along the ground, as `extent_mm` says.
    flat_length_mm, flat_width_mm
        Of flat work of the flat size with as many rows and columns.
    """

    domes: tuple[SolvedDome, ...]
    length_mm: float
    width_mm: float
    flat_length_mm: float
    flat_width_mm: float


def read_figures(surface: Surface) -> SurfaceFigures:
    """Read the figures off a surface.

    Raises
    ------
    BadChoiceError
        When the shape did not come to rest, so that there is no prediction.
    """
    if not surface.converged:
        raise BadChoiceError(
            f"the shape did not come to rest in {surface.iterations:,} steps, so nothing is predicted; "
            "make the raised areas smaller, or leave the surface out"
        )
    width, length = extent_mm(surface)
    flat = surface.bead_sizes.flat
    flat_width, flat_length = surface.grid.extent_mm(flat.length_mm, flat.diameter_mm)
    return SurfaceFigures(find_domes(surface), length, width, flat_length, flat_width)


def lying_mm(surface: Surface) -> Floats:
    """Return x, the way along the ground and the height of each bead, the work laid straight, shape (3, beads)."""
    common = surface.bead_sizes.sizes[surface.common]
    flat = Tabletop().lay(surface.grid.centres_mm(common.length_mm, common.diameter_mm).T)
    return Tabletop().straighten(surface.ground.unroll(surface.centres_mm.T), flat)


def extent_mm(surface: Surface) -> tuple[float, float]:
    """Return the width and length of the finished work in mm, as a ruler laid across it, and along it, shows them.

    The width is that of two neighbouring rows over their outermost beads, the mean over the work; the length
    that of two neighbouring columns, the mean over the work. So a bow of the whole strip is not taken for width.
    """
    half = np.stack(measures_mm(surface.bead_sizes, surface.levels)) / 2
    along = lying_mm(surface)[:2]
    low, high = along - half, along + half
    across = _spans(low[0], high[0], surface.grid.row_of - 1, surface.grid.rows)
    down = _spans(low[1], high[1], surface.grid.column_of - 1, surface.grid.columns)
    return float(across.mean()), float(down.mean())


def sunk_mm(surface: Surface) -> float:
    """Return how far the lowest bead reaches below the undersides of flat work, 0 or more: the ground is soft."""
    thick = measures_mm(surface.bead_sizes, surface.levels)[1]
    flat = surface.bead_sizes.sizes[surface.common].diameter_mm
    return max(0.0, float(((thick - flat) / 2 - lying_mm(surface)[2]).max()))


def _spans(low: Floats, high: Floats, line: Ints, lines: int) -> Floats:
    """Return how far neighbouring lines of beads reach together, shape (lines - 1,), or (1,) for a single line."""
    least, most = np.full(lines, np.inf), np.full(lines, -np.inf)
    np.minimum.at(least, line, low)
    np.maximum.at(most, line, high)
    if lines == 1:
        return np.asarray(most - least)
    return np.asarray(np.maximum(most[:-1], most[1:]) - np.minimum(least[:-1], least[1:]))


def find_domes(surface: Surface) -> tuple[SolvedDome, ...]:
    """Find the domes of the work, each with its height."""
    raised, lying = raised_beads(surface.levels), lying_mm(surface)
    return tuple(_dome(surface, lying, members, raised) for members in domes_of(surface.grid, surface.levels))


def group_numbers(beads: int, pairs: Ints) -> Ints:
    """Return a group number for each bead, alike for beads that pairs join, shape (beads,)."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    joined = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(beads, beads))
    return np.asarray(connected_components(joined, directed=False)[1], dtype=np.int64)


def _dome(surface: Surface, lying: Floats, members: Ints, raised: Bools) -> SolvedDome:
    grid = surface.grid
    ring = _ring(grid, members, raised)
    over = lying[2, members] - _plane(lying[:, ring], lying[:2, members])
    peak = members[np.argmax(over)]
    rows, columns = grid.row_of[members], grid.column_of[members]
    return SolvedDome(
        height_mm=float(over.max()),
        rows=(int(rows.min()), int(rows.max())),
        columns=(int(columns.min()), int(columns.max())),
        peak_row=int(grid.row_of[peak]),
        peak_column=int(grid.column_of[peak]),
        beads=members.size,
    )


def _ring(grid: Grid, members: Ints, raised: Bools) -> Ints:
    """Return the flat beads two contacts out: those that touch the dome already climb its wall."""
    foot = _flat_around(grid, members, raised)
    beyond = np.setdiff1d(_flat_around(grid, foot, raised), foot)
    return beyond if beyond.size else foot


def _flat_around(grid: Grid, beads: Ints, raised: Bools) -> Ints:
    around = np.unique(grid.neighbours[beads])
    return around[(around >= 0) & ~raised[around]]


def _plane(ring: Floats, at: Floats) -> Floats:
    """Return the height of the plane through a ring at some places; level where the ring is no ring."""
    if not ring.size:
        return np.zeros(at.shape[1])
    middle = ring.mean(axis=1, keepdims=True)
    spread = np.linalg.svd((ring - middle)[:2], compute_uv=False)
    if ring.shape[1] < 3 or spread.min() < ROUND * spread.max():
        return np.full(at.shape[1], middle[2, 0])  # beads in a line would let the plane tip about it
    slope = np.linalg.lstsq((ring - middle)[:2].T, (ring - middle)[2], rcond=None)[0]
    return np.asarray(middle[2, 0] + slope @ (at - middle[:2]))


def strain(net: Net, centres_mm: Floats) -> Floats:
    """Return by what share each contact is longer than it wants to be, shape (contacts,), for centres (beads, 3)."""
    return lengths_mm(net, centres_mm) / net.rest_mm - 1


def lengths_mm(net: Net, centres_mm: Floats) -> Floats:
    """Return the length of each contact, shape (contacts,), for centres of shape (beads, 3)."""
    first, second = net.contacts.T
    return np.asarray(np.linalg.norm(centres_mm[second] - centres_mm[first], axis=1))


def angle_defects(net: Net, length_mm: Floats) -> tuple[Floats, Bools]:
    """Return 2π (π on the border) less the sum of the angles at each bead, and which beads are on the border.

    The defect is the discrete Gaussian curvature inside and the turning of the border on it; all of them
    add up to 2π χ (Gauss and Bonnet), χ = beads - contacts + triangles = 1 for a work in one piece. A bead
    that the border passes twice has π for each time.

    Parameters
    ----------
    net
        Its triangles count, not its rest lengths.
    length_mm
        Of each contact, shape (contacts,): the rest lengths or those of a shape.
    """
    a, b, c = length_mm[net.sides].T
    corners = np.stack([_angle(a, b, c), _angle(b, c, a), _angle(c, a, b)], axis=1)
    total = np.bincount(net.triangles.ravel(), weights=corners.ravel(), minlength=net.beads)
    open_sides = 2 - np.bincount(net.sides.ravel(), minlength=len(net.contacts))
    passes = np.bincount(net.contacts.ravel(), weights=open_sides.repeat(2), minlength=net.beads) / 2
    return np.pi * (2 - passes) - total, passes > 0


def _angle(opposite: Floats, one: Floats, other: Floats) -> Floats:
    """Return the angle of a triangle by the law of cosines; flat where the sides make no triangle."""
    cosine = np.clip((one**2 + other**2 - opposite**2) / (2 * one * other), -1, 1)
    return np.asarray(np.arccos(cosine), dtype=np.float64)
