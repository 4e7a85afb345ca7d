"""The best few of the beads that exist: which colours to buy for a work, and where each goes."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.colour import Colour
from palettes.match_request import CellsToMatch, Wishes
from palettes.matching.checks import check_number
from palettes.matching.p_median import add_greedily, solve_p_median
from palettes.matching.problem import MatchProblem, pose_problem
from palettes.palette import Palette
from shared.beads import BeadSizes

MOST_POINTS = 2000
"""At most so many merged cells go into the search (with the coarsest grain: more)."""

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


def fewest_possible(cells: CellsToMatch, palette: Palette, bead_sizes: BeadSizes, wishes: Wishes) -> int:
    """Return the smallest number that `match_each` takes for these cells; errors as there, but for the number."""
    return max(1, len(pose_problem(cells, palette, bead_sizes, wishes).cover))


def match_each(
    cells: CellsToMatch,
    palette: Palette,
    bead_sizes: BeadSizes,
    numbers: Sequence[int],
    wishes: Wishes | None = None,
) -> tuple[Matched, ...]:
    """Choose a few of the beads that exist so that the summed CIEDE2000 over the cells is small.

    Each cell takes the nearest of the chosen colours in its size. The result does not depend on the order of the
    cells. What several numbers have in common is worked out once.

    Parameters
    ----------
    cells
        What is to be matched.
    palette
        What exists.
    bead_sizes
        The sizes that levels stand for.
    numbers
        How many colours, or kinds (see `Wishes`), at most; fewer come back only when more would not help.
    wishes
        None for no special ones.

    Returns
    -------
    tuple of Matched
        One for each number.

    Raises
    ------
    BadChoiceError
        When no colour can be had in a size that is needed, a number is too small to serve all sizes, a name is
        not in the palette, or wishes contradict each other.
    """
    wishes = wishes or Wishes()
    problem = pose_problem(cells, palette, bead_sizes, wishes)
    for number in numbers:
        check_number(number, len(problem.cover), wishes, palette)
    p_median = problem.p_median(most_points=MOST_POINTS)
    return tuple(_matched(problem, solve_p_median(p_median, number, problem.cover), number) for number in numbers)


def _matched(problem: MatchProblem, chosen: list[int], number: int) -> Matched:
    """Assign the cells themselves; where a colour chosen for merged cells then serves none, look for another.

    What must be chosen is chosen again.
    """
    assigned = problem.assign(chosen)
    serving = problem.serving(chosen, assigned.entries)
    if len(serving) < len(chosen):
        chosen = add_greedily(problem.p_median(most_points=MOST_POINTS_AGAIN), number, tuple(serving))
        assigned = problem.assign(chosen)
    return _by_count(problem.palette, np.unique(problem.candidates.entries[chosen]), *assigned)


def _by_count(
    palette: Palette, chosen: NDArray[np.int64], places: NDArray[np.int64], errors: NDArray[np.float64]
) -> Matched:
    """Put the chosen colours in falling order of count; of equally frequent ones the palette's first comes first."""
    counts = np.bincount(places, minlength=len(palette.entries))
    order = chosen[np.argsort(-counts[chosen], kind="stable")]
    rank = np.empty(len(palette.entries), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return Matched(tuple(palette.entries[entry] for entry in order), rank[places], errors)
