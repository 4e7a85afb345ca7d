"""Struts: one-sided springs that keep beads apart where they would pass through one another."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from shared.arrays import Floats, Ints


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
        along, _, pressed = self._pressed(centres)
        push = along * (pressed / self.shortest_mm)
        return 0.5 * float(pressed @ pressed), self._spread(push, centres.shape[1])

    def hessian_product(self, centres: Floats, direction: Floats) -> Floats:
        """Return the Hessian at the centres times a direction, shape (3, beads), in 1/mm² times mm."""
        along, length, pressed = self._pressed(centres)
        moved = direction[:, self.pairs[:, 1]] - direction[:, self.pairs[:, 0]]
        slack = pressed / (self.shortest_mm * length)
        parallel = (along * moved).sum(axis=0) * ((pressed < 0) / self.shortest_mm**2 - slack)
        return self._spread(slack * moved + parallel * along, centres.shape[1])

    def stiffness(self, beads: int, widest: int) -> Any:
        """Return the matrix of struts between beads at most so many apart in their order, (beads, beads), in 1/mm²."""
        from scipy.sparse import csr_array

        near = np.abs(self.pairs[:, 1] - self.pairs[:, 0]) <= widest
        pairs, weight = self.pairs[near], 1 / self.shortest_mm[near] ** 2
        first, second = pairs.T
        rows = np.concatenate([first, second, first, second])
        columns = np.concatenate([first, second, second, first])
        return csr_array((np.concatenate([weight, weight, -weight, -weight]), (rows, columns)), shape=(beads, beads))

    def _pressed(self, centres: Floats) -> tuple[Floats, Floats, Floats]:
        """Return the way from bead to bead, of length 1, how far that is, and the share by which it is too near."""
        gap = centres[:, self.pairs[:, 1]] - centres[:, self.pairs[:, 0]]
        length = np.maximum(np.sqrt(np.einsum("ij,ij->j", gap, gap)), 1e-9)
        return gap / length, length, np.minimum(length / self.shortest_mm - 1, 0)

    def _spread(self, push: Floats, beads: int) -> Floats:
        first, second = self.pairs.T
        return np.stack([np.bincount(second, row, beads) - np.bincount(first, row, beads) for row in push])


NO_STRUTS = Struts(np.zeros((0, 2), dtype=np.int64), np.zeros(0))
