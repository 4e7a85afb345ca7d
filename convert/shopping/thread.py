"""The way of the needle through a work, how much thread it takes, and which needle and thread go through its beads."""

from fractions import Fraction
from math import ceil
from typing import NamedTuple

import numpy as np

from convert.shopping.choices import ThreadOptions
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSize
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import STEPS
from shared.needle import Lattice

YARD_MM = 914.4


class Thread(NamedTuple):
    """The thread of one work."""

    path_mm: float
    """Of the needle through the beads, without slack and tails."""
    pieces: int
    """How many lengths of thread are cut."""
    total_mm: int
    """With slack and the tails of all pieces, rounded up."""


def path_mm(design: Design, *, centres_mm: Floats | None = None) -> float:
    """Return how long the taut thread is along the needle's path.

    Through each bead it takes the bead's length. From bead to bead it takes what their holes are apart across the
    row, less half of each hole, for a taut thread cuts that corner.

    Parameters
    ----------
    centres_mm
        Of a predicted surface, shape (beads, 3): each step is stretched as the shape stretches it. Without it beads
        lie as their sizes want to.
    """
    path = design.grid.needle_path.beads
    first, second = path[:-1], path[1:]
    sizes = np.array([(size.length_mm, size.diameter_mm, size.hole_mm) for size in design.bead_sizes.sizes])
    length, diameter, hole = sizes[design.levels].T
    along = (length[first] + length[second]) / 2
    down, beside = _moves(design.grid, first, second)
    apart = down * (diameter[first] + diameter[second]) / 4
    steps = along + np.maximum(0, apart - (hole[first] + hole[second]) / 2)
    if centres_mm is not None:
        rest = np.hypot(np.where(beside, along, 0), apart)
        gone = np.linalg.norm(centres_mm[second] - centres_mm[first], axis=1)
        steps = steps * np.where(rest > 0, gone / np.where(rest > 0, rest, 1), 1)
    return float(steps.sum() + (length[path[0]] + length[path[-1]]) / 2)


def thread_for(path: float, options: ThreadOptions) -> Thread:
    """Return the thread for a path in mm: with slack, cut into pieces that have a tail at each end.

    Rounding is upwards: no figure is ever less than needed.
    """
    worked = Fraction(ceil(path)) * (1 + Fraction(str(options.slack_percent)) / 100)
    tails = 2 * Fraction(str(options.tail_mm))
    pieces = ceil(worked / (Fraction(str(options.cut_mm)) - tails))
    return Thread(path, pieces, ceil(worked + pieces * tails))


def metres_text(length_mm: float) -> str:
    """Write a length in metres and yards, rounded up to a tenth: she must not run short."""
    metres, yards = -(-length_mm // 100) / 10, -(-length_mm // (YARD_MM / 10)) / 10
    return f"{metres:,.1f} m ({yards:,.1f} yd)"


def spools_for(pieces: int, options: ThreadOptions) -> int | None:
    """Return how many spools give a number of whole pieces; None where no spool is kn

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


NEEDLES_MM = {10: 0.46, 12: 0.35, 13: 0.33, 15: 0.25}
"""Diameter of each needle size; a higher number is thinner. Size 10 is published, the others common practice."""

THREAD_MM = 0.2
"""A beading thread that a published project used with small beads."""

_ADVICE = ((8, 10, "F"), (10, 10, "D"), (12, 12, "B"), (14, 13, "O"), (99, 15, "OO"))
"""Up to which bead number, needle size and thread letter of a published trade table.

Letters from thin to thick: OO, O, A, B, D, F.
"""


class Advice(NamedTuple):
    """What goes through the smallest hole."""

    needle: int
    thread: str
    """Its letter."""
    bead: BeadSize
    warning: str = ""
    """What is wrong with the needle; empty for nothing."""

    @property
    def smallest_hole(self) -> str:
        """The bead with the smallest hole in words."""
        return f"the smallest hole is that of the {self.bead.name}, {self.bead.hole_mm:g} mm"


def advise(design: Design, needle: int | None = None) -> Advice:
    """Advise on needle and thread by the smallest hole of the beads that a design uses.

    Parameters
    ----------
    design
        Only beads that it uses count.
    needle
        One that is to be used; else the table says which, or a thinner one where that does not enter.

    Raises
    ------
    BadChoiceError
        When the needle is of a size whose diameter is not kn
    """
    used = [
        design.bead_sizes.level_of[bead.size] for bead, count in zip(design.beads, design.counts, strict=True) if count
    ]
    smallest = min((design.bead_sizes.sizes[level] for level in sorted(set(used))), key=lambda size: size.hole_mm)
    usual, thread = next((n, letter) for most, n, letter in _ADVICE if int(smallest.number) <= most)
    if needle is not None and needle not in NEEDLES_MM:
        known = ", ".join(map(str, NEEDLES_MM))
        raise BadChoiceError(f"how thick a needle {needle} is, is not known here; give one of {known}")
    entering = [n for n in NEEDLES_MM if n >= usual and NEEDLES_MM[n] < smallest.hole_mm]
    taken = needle or (entering[0] if entering else max(NEEDLES_MM))
    return Advice(taken, thread, smallest, _warning(taken, smallest))


def _warning(needle: int, bead: BeadSize) -> str:
    thick, hole = NEEDLES_MM[needle], bead.hole_mm
    where = f"the hole of a {bead.name} ({hole:g} mm)"
    if thick >= hole:
        return (
            f"needle {needle} ({thick:g} mm) does not enter {where}; take a thinner needle, or beads with larger holes"
        )
    if thick + THREAD_MM > hole + 1e-9:
        return (
            f"needle {needle} ({thick:g} mm) enters {where} once, but may stick where it comes back; take a thinner one"
        )
    return ""
