"""Which beads a drawn line takes: enough ink, no thicker than need be, and no gap where the line goes on."""

from functools import cache

import numpy as np

from shared.arrays import Bools, Floats
from shared.grid import Contact, Grid

ENOUGH_INK = 0.08
"""Share of its footprint that ink must cover to make a bead ink by itself."""

NEXT_TO_LARGEST = 0.6
"""And as a share of the cover of the bead beside it that has most: the others only see a line's edge."""

TRACE_OF_INK = 0.02
"""Less than this does not even link."""

_FAR_SIDE = (Contact.EARLIER_FAR, Contact.LATER_FAR)
_TAIL_SIDE = (Contact.LATER_TAIL, Contact.EARLIER_TAIL)
_RING = (Contact.EARLIER, *_FAR_SIDE, Contact.LATER, *_TAIL_SIDE)
_RING_BEFORE_PARTNER = (
    Contact.EARLIER,
    Contact.EARLIER_FAR,
    Contact.PARTNER_FAR,
    Contact.LATER_FAR,
    Contact.LATER,
    *_TAIL_SIDE,
)
_RING_BEHIND_PARTNER = (
    Contact.EARLIER,
    *_FAR_SIDE,
    Contact.LATER,
    Contact.LATER_TAIL,
    Contact.PARTNER_TAIL,
    Contact.EARLIER_TAIL,
)
"""Places in `Grid.neighbours` that go once round the bead; each touches the next. In a pair there is no bead between
the partner and those above and below, which it does not touch."""


def ink_beads(cover: Floats, joined: Bools, stroke_area: Floats, grid: Grid) -> Bools:
    """Return which beads become ink, shape (beads,).

    Beads with enough ink do. Of the others that have a trace, those go that are not needed, the faintest first. A
    bead is needed while it is the only link between parts of its stroke, or the end of one that has enough ink but
    for its neighbour's having more, or all that is left of a stroke large enough to be seen.

    Parameters
    ----------
    cover
        Share of each footprint that is ink, shape (beads,).
    joined
        Whether the stroke that has most of a bead also has part of each bead that it touches, shape (beads, contacts)
        in the order of `Grid.neighbours`.
    stroke_area
        Size of that stroke in beads, shape (beads,).
    grid
        The lattice.
    """
    largest = np.append(cover, 0.0)[grid.neighbours].max(axis=1)
    strong = (cover >= ENOUGH_INK) & (cover >= NEXT_TO_LARGEST * largest)
    weak = np.flatnonzero((cover >= TRACE_OF_INK) & ~strong)
    ink = [*(cover >= TRACE_OF_INK).tolist(), False]
    weak = weak[np.argsort(cover[weak], kind="stable")]
    around, same = grid.neighbours[weak].tolist(), joined[weak].tolist()
    seen = (stroke_area[weak] >= ENOUGH_INK).tolist()
    enough = (cover[weak] >= ENOUGH_INK).tolist()
    for bead, beside, held, large, much in zip(weak.tolist(), around, same, seen, enough, strict=True):
        ring = _ring(beside)
        near = tuple(ink[beside[place]] for place in ring)
        parts = _parts(near, tuple(held[place] for place in ring))
        ink[bead] = parts > 1 or (parts == 1 and much and sum(near) == 1) or (parts == 0 and large)
    return np.array(ink[:-1])


def _ring(beside: list[int]) -> tuple[int, ...]:
    """Return the places that go round a bead, which has these beads beside it."""
    if len(beside) == len(_RING):
        return _RING
    return _RING_BEFORE_PARTNER if beside[Contact.PARTNER_FAR] >= 0 else _RING_BEHIND_PARTNER


@cache
def _parts(ink: tuple[bool, ...], stroke: tuple[bool, ...]) -> int:
    """Count the runs of ink round a bead that hold part of its stroke."""
    if all(ink):
        return int(any(stroke))
    begin = ink.index(False)
    runs, within = 0, False
    for place in range(begin, begin + len(ink)):
        here = place % len(ink)
        if not ink[here]:
            within = False
        elif stroke[here] and not within:
            runs, within = runs + 1, True
    return runs
