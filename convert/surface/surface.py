"""The predicted surface of a work: what a solver gives and all that is shown is read off."""

from dataclasses import dataclass

import numpy as np

from convert.surface.spring_net import Net
from convert.surface.support import Support
from shared.arrays import Floats, Ints
from shared.beads import BeadSizes
from shared.grid import Grid


@dataclass(frozen=True, eq=False, slots=True)
class Surface:
    """Where every bead comes to lie.

    Parameters
    ----------
    grid, bead_sizes
        Those of the work.
    levels
        The level of each bead, shape (beads,).
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
    """

    grid: Grid
    bead_sizes: BeadSizes
    levels: Ints
    net: Net
    ground: Support
    centres_mm: Floats
    converged: bool
    iterations: int

    def __post_init__(self) -> None:
        for array in (self.levels, self.centres_mm):
            array.flags.writeable = False

    @property
    def common(self) -> int:
        """The commonest level, that of the flat work around the domes."""
        return common_level(self.levels)


def common_level(levels: Ints) -> int:
    """Return the commonest level, the lower of two that are equally common."""
    return int(np.bincount(levels).argmax())
