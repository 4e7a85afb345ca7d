"""The best few of the beads that exist: which colours to buy for a work, and where each goes."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.colour import Colour
from palettes.match_request import Cells, Wishes
from palettes.matching.checks import check_number
from palettes.matching.p_median import best_places, with_more
from palettes.matching.problem import Offer, offer_for
from palettes.palette import Palette
from shared.beads import BeadSizes

MOST_POINTS = 2000
"""So many merged cells go into the search at the most (with the coarsest grain: more)."""

MOST_POINTS_AGAIN = 12_000
"""The same for the second look, taken when a colour chosen for merged cells serves none of the cells themselves."""


class Matched(NamedTuple):
    """Colours chosen for cells."""

    colours: tuple[Colour, ...]
    """Most used first, all different; some of those that are kept may serve no cell."""
    labels: NDArray[np.int64]
    """The colour of each cell, from 0, shape (cells,)."""
    errors: NDArray[np.float64]
    """CIEDE2000 of each cell to its colour, shape (cells,)."""


def choose(cells: Cells, palette: Palette, bead_sizes: BeadSizes, most: int, wishes: Wishes | None = None) -> Matched:
    """Choose at most so many of the beads that exist that the summed CIEDE2000 over the cells is small.

    Each cell takes the nearest of the chosen colours in its size. The result does not depend on the order of the
    cells.

    Parameters
    ----------
    cells
        What is to be matched.
    palette
        What exists.
    ladder
        The sizes that levels stand for.
    most
        How many colours, or beads (see `Wishes`); fewer come back only when more would not help.
    wishes
        None for no special ones.

    Raises
    ------
    BadChoiceError
        When no colour can be had in a size that is needed, the number is too small to serve all sizes, a name is
        not in the palette, or wishes contradict each other.
    """
    return choose_each(cells, palette, bead_sizes, [most], wishes)[0]


def fewest_possible(cells: Cells, palette: Palette, bead_sizes: BeadSizes, wishes: Wishes) -> int:
    """Return the smallest number that `choose` takes for these cells; errors as there, but for the number."""
    return max(1, len(offer_for(cells, palette, bead_sizes, wishes).cover))


def choose_each(
    cells: Cells, palette: Palette, bead_sizes: BeadSizes, numbers: Sequence[int], wishes: Wishes | None = None
) -> tuple[Matched, ...]:
    """Choose for each of several numbers; what they have in common is worked out once. See `choose`."""
    wishes = wishes or Wishes()
    offer = offer_for(cells, palette, bead_sizes, wishes)
    for number in numbers:
        check_number(number, len(offer.cover), wishes, palette)
    market = offer.market(most_points=MOST_POINTS)
    return tuple(_matched(offer, best_places(market, number, offer.cover), number) for number in numbers)


def _matched(offer: Offer, stalls: list[int], number: int) -> Matched:
    """Assign the cells themselves; where a colour chosen for merged cells then serves none, look for another.

    What must be chosen is chosen again.
    """
    assigned = offer.assigned(stalls)
    busy = offer.busy(stalls, assigned.entries)
    if len(busy) < len(stalls):
        stalls = with_more(offer.market(most_points=MOST_POINTS_AGAIN), number, tuple(busy))
        assigned = offer.assigned(stalls)
    return _by_count(offer.palette, np.unique(offer.stalls.entries[stalls]), assigned.entries, assigned.errors)


def _by_count(
    palette: Palette, chosen: NDArray[np.int64], places: NDArray[np.int64], errors: NDArray[np.float64]
) -> Matched:
    """Put the chosen colours in falling order of count; of equally frequent ones the palette's first comes first."""
    counts = np.bincount(places, minlength=len(palette.entries))
    order = chosen[np.argsort(-counts[chosen], kind="stable")]
    rank = np.empty(len(palette.entries), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return Matched(tuple(palette.entries[entry] for entry in order), rank[places], errors)
