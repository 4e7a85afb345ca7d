"""The net of contacts: beads as nodes, contacts as edges with rest lengths, triangles, hinges.

The contacts down the columns and on the diagonals triangulate the work completely, so rest lengths on
them are a discrete metric; it fixes the shape up to bending (E. Efrati, E. Sharon, R. Kupferman, "Elastic
theory of unconstrained non-Euclidean plates", J. Mech. Phys. Solids 57, 2009).
"""

from dataclasses import dataclass, replace

import numpy as np

from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Contact, Grid

BELOW = [Contact.LATER, Contact.LATER_TAIL, Contact.LATER_FAR]
"""The neighbours of which a bead owns the contact, so that each contact is there once."""


@dataclass(frozen=True, eq=False, slots=True)
class Net:
    """Which beads hold which, and how far apart they want to lie.

    Parameters
    ----------
    beads
        How many there are.
    contacts
        The two beads of each contact, shape (contacts, 2), the one of the lower row first.
    in_column
        Whether a contact lies in a column; otherwise on a diagonal, shape (contacts,).
    rest_mm
        The length each contact wants, shape (contacts,).
    triangles
        Three beads each, shape (triangles, 3).
    sides
        The contacts of each triangle, shape (triangles, 3): the k-th lies opposite its k-th bead.
    hinges
        Where two triangles meet: the two beads of the common contact, then the two opposite it, shape (hinges, 4).
    hinge_sides
        The contacts of each hinge, shape (hinges, 5): the common one, then first-third, second-third,
        first-fourth, second-fourth bead.
    """

    beads: int
    contacts: Ints
    in_column: Bools
    rest_mm: Floats
    triangles: Ints
    sides: Ints
    hinges: Ints
    hinge_sides: Ints

    def __post_init__(self) -> None:
        if self.rest_mm.shape != (len(self.contacts),) or not (self.rest_mm > 0).all():
            raise BadChoiceError("every contact needs one rest length above zero; check the bead measures")
        for name in ("contacts", "in_column", "rest_mm", "triangles", "sides", "hinges", "hinge_sides"):
            getattr(self, name).flags.writeable = False

    def with_rest(self, rest_mm: Floats) -> "Net":
        """Return the same net with other rest lengths, shape (contacts,)."""
        return replace(self, rest_mm=np.array(rest_mm, dtype=np.float64))


def measures_mm(bead_sizes: BeadSizes, levels: Ints) -> tuple[Floats, Floats]:
    """Return length and diameter of each bead in mm, each shape (beads,)."""
    length = np.array([size.length_mm for size in bead_sizes.sizes])
    diameter = np.array([size.diameter_mm for size in bead_sizes.sizes])
    return length[levels], diameter[levels]


def make_net(grid: Grid, bead_sizes: BeadSizes, levels: Ints) -> Net:
    """Make the net of a work.

    Parameters
    ----------
    grid
        The lattice.
    bead_sizes
        The sizes with their measures.
    levels
        The level of each bead, shape (beads,).

    Raises
    ------
    BadChoiceError
        When the levels do not fit the grid or the bead sizes, and for two-drop: nothing braces its pairs.
    """
    levels = np.asarray(levels, dtype=np.int64)
    if levels.shape != (grid.count,):
        raise BadChoiceError(f"{levels.size} levels were given for {grid.count} beads; give one for each")
    if grid.drop != 1:
        raise BadChoiceError("the surface of two-drop work is not predicted yet; lengths are those of flat work")
    if not (levels.min() >= 0 and levels.max() < len(bead_sizes.sizes)):
        raise BadChoiceError(f"a level lies outside the {len(bead_sizes.sizes)} bead sizes; use 0 and up")
    contacts, in_column, number = _contacts(grid)
    triangles, sides = _triangles(grid, number)
    rest = rest_lengths_mm(contacts, in_column, *measures_mm(bead_sizes, levels))
    return Net(grid.count, contacts, in_column, rest, triangles, sides, *_hinges(triangles, sides, contacts))


def flat_rest_mm(net: Net, flat: BeadSize) -> Floats:
    """Return the rest lengths that the contacts of a net would have if all beads were of one size."""
    even = np.ones(net.beads)
    return rest_lengths_mm(net.contacts, net.in_column, flat.length_mm * even, flat.diameter_mm * even)


def rest_lengths_mm(contacts: Ints, in_column: Bools, length_mm: Floats, diameter_mm: Floats) -> Floats:
    """Return how far apart the beads of each contact want to lie, shape (contacts,).

    In a column the two half diameters; on a diagonal half the lengths across and a quarter of the
    diameters down, which is exact for equal beads and a choice of the model for others.
    """
    across: Floats = length_mm[contacts].sum(axis=1) / 2
    down: Floats = diameter_mm[contacts].sum(axis=1) / 2
    return np.where(in_column, down, np.hypot(across, down / 2))


def _contacts(grid: Grid) -> tuple[Ints, Bools, Ints]:
    """Return contacts, whether in a column, and for each bead its contacts down, down left, down right (-1: none)."""
    below = grid.neighbours[:, BELOW]
    held = below >= 0
    number = np.where(held.T, np.cumsum(held.T).reshape(held.T.shape) - 1, -1)
    kind, first = held.T.nonzero()
    return np.stack([first, below[first, kind]], axis=1), kind == 0, number.T


def _triangles(grid: Grid, number: Ints) -> tuple[Ints, Ints]:
    """Return the triangles left and right of every contact in a column, wound alike, and their sides."""
    top = (number[:, 0] >= 0).nonzero()[0]
    bottom, left, right = grid.neighbours[top][:, BELOW].T
    has_left, has_right = left >= 0, right >= 0
    # The order of the corners winds the triangles on both sides alike, so that all normals point the same way.
    corners = np.concatenate(
        [
            np.stack([top, bottom, left], axis=1)[has_left],
            np.stack([bottom, top, right], axis=1)[has_right],
        ]
    )
    sides = np.concatenate(
        [
            np.stack([number[left, 2], number[top, 1], number[top, 0]], axis=1)[has_left],
            np.stack([number[top, 2], number[right, 1], number[top, 0]], axis=1)[has_right],
        ]
    )
    return corners, sides


def _hinges(triangles: Ints, sides: Ints, contacts: Ints) -> tuple[Ints, Ints]:
    """Pair the triangles that share a contact."""
    # A contact is the side of two triangles at most: sorted by side, those that share one stand next to each other.
    side = sides.ravel()
    order = np.argsort(side, kind="stable")
    pairs = (side[order][1:] == side[order][:-1]).nonzero()[0]
    corners = order[pairs], order[pairs + 1]  # numbered through, three to a triangle
    common = side[corners[0]]
    ends = contacts[common]
    far = [triangles.ravel()[corner] for corner in corners]
    # The side from one end to the far bead is the side opposite the other end.
    arms = [_side_opposite(triangles, sides, corner // 3, ends[:, 1 - end]) for corner in corners for end in (0, 1)]
    return np.column_stack([ends, *far]), np.column_stack([common, *arms])


def _side_opposite(triangles: Ints, sides: Ints, triangle: Ints, bead: Ints) -> Ints:
    opposite: Ints = sides[triangle][triangles[triangle] == bead[:, None]]
    return opposite
