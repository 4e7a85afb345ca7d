"""How many colours a picture needs: the rule, and its reason in words."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats
from shared.design import Design

GOOD_MEAN, GOOD_P95 = 4.0, 10.0
"""CIEDE2000 that is good enough on average, and for 95 % of the beads."""

WORTH_A_COLOUR = 0.2
"""A colour more must lower the mean CIEDE2000 by this much."""


class Spread(NamedTuple):
    """How far the beads are from the picture with a number of colours."""

    k: int
    """Colours."""
    mean: float
    """CIEDE2000 on average over the beads."""
    p95: float
    """CIEDE2000 that 95 % of the beads stay under."""


class Knee(NamedTuple):
    """The number of colours that the rule takes."""

    k: int
    """Colours."""
    reason: str
    """Why, as the end of a sentence that begins with the number."""


def spread_of(k: int, errors: NDArray[np.float64]) -> Spread:
    """Sum up the errors of the beads, shape (beads,)."""
    return Spread(k, float(errors.mean()), float(np.percentile(errors, 95)))


def knee(spreads: Sequence[Spread]) -> Knee:
    """Take the smallest number of colours that is good enough, or that one colour more would hardly better.

    Good enough is a mean CIEDE2000 up to 4 with 95 % of the beads up to 10; hardly better is a mean lower by less
    than 0.2. Where neither comes true it is the largest number tried.

    Parameters
    ----------
    spreads
        At least one, for numbers that rise by one.

    Examples
    --------
    >>> knee([Spread(2, 9.0, 20.0), Spread(3, 5.0, 11.0), Spread(4, 4.875, 11.0), Spread(5, 3.0, 7.0)])
    Knee(k=3, reason='one colour more lowers the mean colour difference by 0.12 only')
    """
    for place, here in enumerate(spreads):
        if here.mean <= GOOD_MEAN and here.p95 <= GOOD_P95:
            return Knee(here.k, _good_enough(here))
        if place + 1 < len(spreads) and here.mean - spreads[place + 1].mean < WORTH_A_COLOUR:
            return Knee(here.k, _hardly_better(here.mean - spreads[place + 1].mean))
    last = spreads[-1]
    return Knee(last.k, f"no number up to {last.k} is good enough, and each colour more still helps")


def _hardly_better(gain: float) -> str:
    """Round down: what is less than 0.2 never reads as 0.20."""
    return f"one colour more lowers the mean colour difference by {int(max(gain, 0) * 100) / 100:.2f} only"


def _good_enough(spread: Spread) -> str:
    return (
        f"the fewest with a mean colour difference up to {GOOD_MEAN:g} and 95 % of the beads up to {GOOD_P95:g}"
        f" (here {spread.mean:.2f} and {spread.p95:.2f})"
    )


class Candidate(NamedTuple):
    """The work with at most k colours."""

    k: int
    """The number of colours it was made for."""
    design: Design
    """The design."""
    errors: Floats
    """CIEDE2000 of each bead to what the picture shows on it, shape (beads,)."""


def leave_out_repeats(candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """Leave out what a colour more did not change: a picture may have fewer colours than are tried."""
    kept = list(candidates[:1])
    for candidate in candidates[1:]:
        last, design = kept[-1].design, candidate.design
        if design.beads != last.beads or not np.array_equal(design.cells, last.cells):
            kept.append(candidate)
    return tuple(kept)
