"""Beads that pass through one another, and the struts that keep such beads apart.

Contacts alone keep none apart, and to try all pairs in every step would cost more than all the rest: so overlaps are
looked for in the shape found, and struts put in where there are some.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from convert.surface.spring_net import measures_mm
from shared.arrays import Bools, Floats, Ints

if TYPE_CHECKING:
    from convert.surface.surface import Surface


OVERLAP = 0.25
"""Beads may sink into each other by this share of the thinner one's diameter: rounding, and give of the thread."""


class Overlaps(NamedTuple):
    """Beads that pass through one another.

    Parameters
    ----------
    pairs
        Two beads each, shape (pairs, 2).
    depths
        How deep, as a share of the thinner bead's diameter, shape (pairs,).
    thinner_mm
        The diameter of the thinner bead, shape (pairs,).
    apart_mm
        How far apart their centres are, shape (pairs,).
    """

    pairs: Ints
    depths: Floats
    thinner_mm: Floats
    apart_mm: Floats


def hole_axes(surface: "Surface") -> Floats:
    """Return the direction of each bead's hole, shape (beads, 3), of length 1.

    It points from the neighbours on the left to those on the right, at right angles to the column.
    """
    centres, around = surface.centres_mm, surface.grid.neighbours

    def gap(contact: int) -> Floats:
        other = around[:, contact]
        return np.where((other >= 0)[:, None], centres[other] - centres, 0.0)

    column = _unit(gap(1) - gap(0))
    # At an edge the neighbours of one side alone lean up or down: what lies along the column is taken away.
    across = gap(3) + gap(5) - gap(2) - gap(4)
    across -= (across * column).sum(axis=1, keepdims=True) * column
    axes = _unit(across * (1 if surface.grid.hand == "right" else -1))
    axes[~axes.any(axis=1)] = (1.0, 0.0, 0.0)  # folded along its column, it points nowhere
    return axes


def find_overlaps(surface: "Surface", *, limit: float = OVERLAP) -> Overlaps:
    """Find beads not in contact that overlap by more than a limit on the line between their centres.

    Round beads count as spheroids, cylinders as cylinders. Beads in contact are judged by their strain.
    """
    length, diameter = measures_mm(surface.bead_sizes, surface.levels)
    pairs = np.concatenate([np.zeros((0, 2), dtype=np.int64), *_near(surface, np.hypot(length, diameter) / 2)])
    pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]  # a tree gives them in no order to rely on
    gap = surface.centres_mm[pairs[:, 1]] - surface.centres_mm[pairs[:, 0]]
    apart = np.linalg.norm(gap, axis=1)
    # Centres in one place have no line between them: the floor, far below any bead, gives 0 in place of no number.
    along = gap / np.maximum(apart, 1e-9)[:, None]
    axes = hole_axes(surface)
    cylinder = np.array([size.shape == "cylinder" for size in surface.bead_sizes.sizes])[surface.levels]
    filled = np.zeros_like(apart)
    for bead in pairs.T:
        cosine = np.abs((axes[bead] * along).sum(axis=1))
        filled += _reach(cosine, length[bead] / 2, diameter[bead] / 2, cylinder[bead])
    thinner = diameter[pairs].min(axis=1)
    depth = (filled - apart) / thinner
    deep = depth > limit
    return Overlaps(pairs[deep], depth[deep], thinner[deep], apart[deep])


def _near(surface: "Surface", reach: Floats) -> Iterator[Ints]:
    """Yield the pairs not in contact whose beads are near enough to meet, the lower number first, shape (pairs, 2).

    Size by size: the few large beads reach far, the many small ones do not.
    """
    from scipy.spatial import cKDTree

    levels = [np.flatnonzero(surface.levels == level) for level in np.unique(surface.levels)]
    trees = [cKDTree(surface.centres_mm[members]) for members in levels]
    for place, (members, tree) in enumerate(zip(levels, trees, strict=True)):
        far = 2 * reach[members[0]]
        yield _not_in_contact(surface, members[tree.query_pairs(far, output_type="ndarray")])
        for others, smaller in zip(levels[:place], trees[:place], strict=True):
            met = tree.sparse_distance_matrix(smaller, far / 2 + reach[others[0]], output_type="ndarray")
            yield _not_in_contact(surface, np.stack([members[met["i"]], others[met["j"]]], axis=1))


def _not_in_contact(surface: "Surface", pairs: Ints) -> Ints:
    """Return the pairs that are not in contact, the lower number first."""
    joined = np.zeros(len(pairs), dtype=bool)
    for around in surface.grid.neighbours.T:
        joined |= around[pairs[:, 0]] == pairs[:, 1]
    return np.sort(pairs[~joined], axis=1)


def _reach(cosine: Floats, half_length: Floats, radius: Floats, cylinder: Bools) -> Floats:
    """Return how far a bead reaches from its centre along a line at an angle to its hole."""
    along = cosine / half_length
    across = np.sqrt(np.maximum(1 - cosine**2, 0)) / radius
    return np.asarray(1 / np.where(cylinder, np.maximum(along, across), np.hypot(along, across)))


def _unit(vectors: Floats) -> Floats:
    # A vector this short is rounding of zero: it stays zero, for its direction would be chance.
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    return np.asarray(np.divide(vectors, length, out=np.zeros_like(vectors), where=length > 1e-12))


@dataclass(frozen=True, eq=False, slots=True)
class Struts:
    """Pairs of beads that push each other away when they come too near, as stiff as a contact.

    Parameters
    ----------
    pairs
        Two beads each, shape (struts, 2).
    shortest_mm
        Nearer than this they push, shape (struts,).
    """

    pairs: Ints
    shortest_mm: Floats

    def value_and_gradient(self, centres: Floats) -> tuple[float, Floats]:
        """Return the energy and its gradient, shape (3, beads), in 1/mm."""
        gap = centres[:, self.pairs[:, 1]] - centres[:, self.pairs[:, 0]]
        # Beads in one place have no direction to be pushed in: the floor, in mm, keeps the division finite.
        length = np.maximum(np.sqrt(np.einsum("ij,ij->j", gap, gap)), 1e-9)
        pressed = np.minimum(length / self.shortest_mm - 1, 0)  # a strut only pushes
        push = gap / length * (pressed / self.shortest_mm)
        return 0.5 * float(pressed @ pressed), self._spread(push, centres.shape[1])

    def stiffness(self, beads: int, widest: int) -> Any:
        """Return the matrix, in 1/mm², of struts between beads at most ``widest`` apart in their order."""
        from scipy.sparse import csr_array

        # Those further apart would widen the band of the matrix, whose factor grows with it; it needs not be exact.
        near = np.abs(self.pairs[:, 1] - self.pairs[:, 0]) <= widest
        pairs, weight = self.pairs[near], 1 / self.shortest_mm[near] ** 2
        first, second = pairs.T
        rows = np.concatenate([first, second, first, second])
        columns = np.concatenate([first, second, second, first])
        return csr_array((np.concatenate([weight, weight, -weight, -weight]), (rows, columns)), shape=(beads, beads))

    def _spread(self, push: Floats, beads: int) -> Floats:
        first, second = self.pairs.T
        return np.stack([np.bincount(second, row, beads) - np.bincount(first, row, beads) for row in push])


NO_STRUTS = Struts(np.zeros((0, 2), dtype=np.int64), np.zeros(0))
