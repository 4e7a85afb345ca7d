"""How much thread a work takes."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import NamedTuple

import numpy as np

from convert.shopping.choices import ThreadOptions
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSizes
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import STEPS
from shared.needle import Lattice


class Thread(NamedTuple):
    """The thread of one work."""

    path_mm: float
    """Of the needle through the beads, without slack and tails."""
    pieces: int
    """How many lengths of thread are cut."""
    total_mm: int
    """With slack and the tails of all pieces, rounded up."""


@dataclass(frozen=True, slots=True)
class _Measures:
    length: Floats
    diameter: Floats
    hole: Floats


def path_mm(design: Design, *, centres_mm: Floats | None = None) -> float:
    """Return how long the taut thread is along the needle's path.

    Through each bead it takes the bead's length. From bead to bead it takes what their holes are apart across the
    row, less half of each hole, for a taut thread cuts that corner.

    Parameters
    ----------
    design
        Its grid and bead measures.
    centres_mm
        Of a predicted surface, shape (beads, 3): each step is stretched as the shape stretches it. Without it beads
        lie as their sizes want to.
    """
    path = design.grid.needle_path.beads
    first, second = path[:-1], path[1:]
    own = _measures(design.bead_sizes, design.levels)
    along = (own.length[first] + own.length[second]) / 2
    down, beside = _moves(design.grid, first, second)
    apart = down * (own.diameter[first] + own.diameter[second]) / 4
    steps = along + np.maximum(0, apart - (own.hole[first] + own.hole[second]) / 2)
    if centres_mm is not None:
        rest = np.hypot(np.where(beside, along, 0), apart)
        gone = np.linalg.norm(centres_mm[second] - centres_mm[first], axis=1)
        steps = steps * np.where(rest > 0, gone / np.where(rest > 0, rest, 1), 1)
    return float(steps.sum() + (own.length[path[0]] + own.length[path[-1]]) / 2)


def thread_for(path: float, options: ThreadOptions) -> Thread:
    """Return the thread for a path in mm: with slack, cut into pieces that have a tail at each end.

    Rounding is upwards: no figure is ever less than needed.
    """
    worked = Fraction(ceil(path)) * (1 + Fraction(str(options.slack_percent)) / 100)
    tails = 2 * Fraction(str(options.tail_mm))
    pieces = ceil(worked / (Fraction(str(options.cut_mm)) - tails))
    return Thread(path, pieces, ceil(worked + pieces * tails))


def spools_for(pieces: int, options: ThreadOptions) -> int | None:
    """Return how many spools give a number of whole pieces; None where no spool is known.

    Raises
    ------
    BadChoiceError
        When a spool does not hold one piece.
    """
    if options.spool_mm is None:
        return None
    each = int(Fraction(str(options.spool_mm)) / Fraction(str(options.cut_mm)))
    if not each:
        raise BadChoiceError("a spool does not hold one length of thread; give a larger --spool or a shorter --cut")
    return ceil(Fraction(pieces, each))


def _moves(lattice: Lattice, first: Ints, second: Ints) -> tuple[Ints, Bools]:
    """Return how many half-rows each step of the needle goes down or up, and whether it goes to another column."""
    down = np.abs(lattice.row_of[second] - lattice.row_of[first])
    beside = lattice.column_of[second] != lattice.column_of[first]
    # Where a work is closed its last row touches its first: there only the place among the neighbours tells the step.
    for near, (rows, columns) in zip(lattice.neighbours.T, STEPS, strict=False):
        touched = near[first] == second
        down[touched], beside[touched] = abs(rows), columns != 0
    return down, beside


def _measures(bead_sizes: BeadSizes, levels: Ints) -> _Measures:
    table = np.array([(size.length_mm, size.diameter_mm, size.hole_mm) for size in bead_sizes.sizes])
    length, diameter, hole = table[levels].T
    return _Measures(length, diameter, hole)
