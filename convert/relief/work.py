"""A work laid out on the lattice before its colours are chosen."""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.grid import Grid

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


class Whole(NamedTuple):
    """The work that rounds make, where only a few of them are worked out."""

    grid: Grid
    """Its lattice."""
    source: Ints
    """The worked-out bead that each bead equals, shape (beads,); -1 for plain ones of foundation and end."""
    levels: Ints
    """The level of each bead, shape (beads,)."""

    def spread(self, values: NDArray[Any], plain: Any) -> NDArray[Any]:
        """Return the value of each bead, from those of the worked-out beads; ``plain`` for foundation and end."""
        seen = (self.source >= 0).reshape(-1, *[1] * (values.ndim - 1))
        return np.asarray(np.where(seen, values[self.source], plain))


class Work(NamedTuple):
    """The cells of a work before they are coloured."""

    grid: Grid
    """The lattice."""
    bead_sizes: BeadSizes
    """The sizes."""
    cells_lab: Floats
    """What the picture shows on each, CIELAB, shape (cells, 3)."""
    levels: Ints
    """The level of each, shape (cells,)."""
    ink: Bools | None
    """Which belong to a drawn line, shape (cells,); None where nothing is drawn in lines."""
    whole: Whole | None = None
    """The work that the cells become where they come again; None where they are all of it."""
