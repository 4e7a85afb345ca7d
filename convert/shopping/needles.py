"""Which needle and thread go through the beads of a design."""

from typing import NamedTuple

from shared.beads import BeadSize
from shared.design import Design
from shared.errors import BadChoiceError

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
    """Its size."""
    thread: str
    """Its letter."""
    bead: BeadSize
    """The bead with the smallest hole."""
    warning: str = ""
    """What is wrong with the needle; empty for nothing."""


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
        When the needle is of a size whose diameter is not known.
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
