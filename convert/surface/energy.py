"""The energy of a net in space, with its gradient: stretch, bending, what it lies on, what keeps it apart.

Lengths are in mm, the energy is a number: strain is dimensionless, bending is an angle squared, and heights
are taken in units of the bead. Centres have the shape (3, beads): x, y, z each in one run of memory.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from convert.surface.overlap import NO_STRUTS, Struts
from convert.surface.spring_net import Net
from convert.surface.support import Support
from shared.arrays import Floats

FLATTEST = 0.2
"""No triangle counts as lower over its side than this share of it, so that slivers do not bend like glass."""


@dataclass(frozen=True, eq=False, slots=True)
class Energy:
    """Stretch, bending, ground and load of one net.

    Parameters
    ----------
    net
        Contacts and rest lengths.
    difference, bend
        Sparse matrices (contacts, beads) and (hinges, beads).
    bending
        The weight of bending.
    spring, floor
        Weight on the height squared of each bead, shape (beads,), and below the ground only, in 1/mm².
    load
        Upward force on each bead, shape (beads,), in 1/mm.
    ground
        Where heights are taken from.
    struts
        What keeps beads apart.
    """

    net: Net
    difference: Any
    bend: Any
    bending: float
    spring: Floats
    floor: float
    load: Floats
    ground: Support
    struts: Struts = NO_STRUTS

    def value_and_gradient(self, centres: Floats) -> tuple[float, Floats]:
        """Return the energy and its gradient, shape (3, beads), in 1/mm."""
        gap, length, strain = self._stretch(centres)
        # Hinge vectors are small where centres are large: their square is exact where that of the centres is not.
        bent = multiply_rows(self.bend, centres)
        height, up = self.ground.height(centres)
        below = np.minimum(height, 0)
        push = self.spring * height + self.floor * below - self.load
        value = (
            0.5 * float(strain @ strain)
            + 0.5 * self.bending * float(np.vdot(bent, bent))
            + 0.5 * float(self.spring @ height**2 + self.floor * (below @ below))
            - float(self.load @ height)
        )
        gap *= strain / (self.net.rest_mm * length)  # in place: this array is the largest of a step
        gradient = multiply_rows(self.difference.T, gap) + self.bending * multiply_rows(self.bend.T, bent) + push * up
        if not self.struts.pairs.size:
            return value, gradient
        pressed, away = self.struts.value_and_gradient(centres)
        return value + pressed, gradient + away

    def _stretch(self, centres: Floats) -> tuple[Floats, Floats, Floats]:
        gap = multiply_rows(self.difference, centres)
        # Two beads in one place have no direction to part in: a hair of length keeps the division finite.
        length = np.maximum(np.sqrt(np.einsum("ij,ij->j", gap, gap)), 1e-9)
        return gap, length, length / self.net.rest_mm - 1


def multiply_rows(matrix: Any, rows: Floats) -> Floats:
    """Return a sparse matrix times each of a few rows, shape (rows, matrix rows).

    Row by row, for a product with all of them at once would need them transposed in memory.
    """
    return np.stack([matrix @ row for row in rows])


def difference_matrix(net: Net) -> Any:
    """Return the matrix that takes the second less the first bead of each contact, (contacts, beads)."""
    from scipy.sparse import csr_array

    count = len(net.contacts)
    values = np.tile([-1.0, 1.0], count)
    return csr_array((values, net.contacts.ravel(), np.arange(0, 2 * count + 1, 2)), shape=(count, net.beads))


def bend_matrix(net: Net) -> Any:
    """Return the matrix of hinge vectors n_p + n_q, shape (hinges, beads).

    n is the unit vector in a triangle at right angles to the hinge, built from the rest lengths and so
    linear in the centres: its length is 2 sin(θ/2) for a hinge bent by θ (isometric bending; compare M. Bergou,
    M. Wardetzky, D. Harmon, D. Zorin, E. Grinspun, "A quadratic bending model for inextensible surfaces", 2006).
    """
    from scipy.sparse import csr_array

    # On the common side, of length c, the foot of a triangle's height lies at a share f = (a² - b² + c²) / 2c² from the
    # first end, a and b being the other sides. The normal to c within the triangle is (far - (1 - f) first - f second)
    # over the height, which is linear in the three centres.
    common, *arms = net.rest_mm[net.hinge_sides].T
    weights = np.zeros(net.hinges.shape)
    for place, (first, second) in enumerate((arms[:2], arms[2:])):
        foot = ((first**2 - second**2) / common**2 + 1) / 2
        high = np.sqrt(np.maximum(first**2 - (foot * common) ** 2, (FLATTEST * common) ** 2))
        weights[:, 2 + place] += 1 / high
        weights[:, 0] -= (1 - foot) / high
        weights[:, 1] -= foot / high
    rows = np.repeat(np.arange(len(net.hinges)), 4)
    return csr_array((weights.ravel(), (rows, net.hinges.ravel())), shape=(len(net.hinges), net.beads))
