"""Few colours for many cells, from the picture alone: the best of the cells' own colours, moved to medians."""

from collections.abc import Sequence
from itertools import product
from typing import NamedTuple

import numpy as np

from palettes.matching.merge_cells import Points, merge_cells, merge_points, weighted_means
from palettes.matching.p_median import PMedian, solve_p_median, whole_costs
from shared.arrays import Bytes, Floats, Ints
from shared.ciede2000 import ciede2000, difference_table
from shared.colour import lab_from_codes, linear_from_lab, srgb_from_linear
from shared.errors import BadChoiceError
from shared.nearest_colour import nearest_colours

NONE: Bytes = np.zeros((0, 3), dtype=np.uint8)
"""No colours, as codes."""

MOST_POINTS = 3000
"""At most n merged colours go into the search (with the coarsest grain: more)."""

MOST_CANDIDATES = 112
"""At most n of them, merged further, are tried as colours of the palette. Over eleven open pictures, 4 to 16
colours, 80 gave 0.2 % more mean CIEDE2000, 256 no less, in 1.4 times the time."""

CANDIDATE_GRAINS = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0)
"""Lab units within which these are merged: in small steps, so that not far fewer than allowed are left."""

_MOST_MOVES = 30
_WORTH_KEEPING = 1 - 1e-4
"""The sum must fall below this share of the least so far, or the round counts as idle: steps towards a median grow ever
shorter, and what they still gain is lost when colours are rounded to 8 bits."""

_NEAREST = 0.05
"""CIEDE2000 below which a point pulls no harder, for the pull of one that coincides has no bound."""


class FewColours(NamedTuple):
    """A palette for cells."""

    codes: Bytes
    """8-bit sRGB codes, most used first, all different, shape (colours, 3)."""
    labels: Ints
    """The colour of each cell, from 0, shape (cells,)."""
    errors: Floats
    """CIEDE2000 of each cell to its colour, shape (cells,)."""


def quantise(cells_lab: Floats, number: int, required: Bytes = NONE) -> FewColours:
    """Choose at most ``number`` colours so that the mean CIEDE2000 over the cells is small; see `quantise_each`."""
    return quantise_each(cells_lab, [number], required)[0]


def quantise_each(cells_lab: Floats, numbers: Sequence[int], required: Bytes = NONE) -> tuple[FewColours, ...]:
    """Choose colours for each of several numbers; what they have in common is worked out once.

    The best of the cells' own colours are found first (the p-median problem), each is then moved to the median of
    the cells that it serves. Cells are assigned by CIEDE2000 to the colours as 8-bit sRGB holds them. The result does
    not depend on the order of the cells, and that for a number not on the other numbers.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    numbers
        How many colours at most; fewer come back when the cells have fewer, or two fall together in 8 bits.
    required
        8-bit sRGB codes of colours that are among them, shape (required, 3); one that is nearest to no cell is
        not used.

    Returns
    -------
    tuple of FewColours
        One for each number.

    Raises
    ------
    BadChoiceError
        When more are required than asked for.
    """
    required = np.unique(required, axis=0)
    if len(required) > min(numbers):
        raise BadChoiceError(
            f"{len(required)} colours are to be kept, but only {min(numbers)} asked for; raise --colours"
        )
    points = merge_cells(cells_lab, np.zeros(len(cells_lab), dtype=np.int64), most=MOST_POINTS)
    candidates = merge_points(points, CANDIDATE_GRAINS, most=MOST_CANDIDATES).lab
    places = np.concatenate([lab_from_codes(required), candidates])
    costs = whole_costs(difference_table(points.lab, places)) * points.weights[:, None]
    problem = PMedian(costs, tuple(frozenset({place}) for place in range(len(required))))
    return tuple(
        _assign(cells_lab, points, required, places[solve_p_median(problem, number)] if number else places[:0])
        for number in numbers
    )


def move_to_medians(points: Points, centres: Floats, *, held: int = 0) -> Floats:
    """Move centres to medians under CIEDE2000, assigning anew in each round, and return the best seen.

    Weiszfeld's iteration for the point of least summed distance (E. Weiszfeld, Tohoku Mathematical
    Journal 43, 1937): a mean in which each point weighs the inverse of its distance.

    Parameters
    ----------
    points
        The cells, merged.
    centres
        Where to begin, shape (colours, 3).
    held
        How many at the beginning stay where they are.
    """
    best, least, idle = centres, np.inf, 0
    for _ in range(_MOST_MOVES):
        labels, errors = nearest_colours(points.lab, centres)
        total = float((errors * points.weights).sum())
        idle = 0 if total < least * _WORTH_KEEPING else idle + 1
        if total < least:
            best, least = centres, total
        if idle == 2:
            break
        centres = np.concatenate([centres[:held], _move(points, labels, centres)[held:]])
    return best


def _move(points: Points, labels: Ints, centres: Floats) -> Floats:
    # Two steps for each assignment: steps are cheap, assignments are not.
    for _ in range(2):
        pull = points.weights / np.maximum(ciede2000(points.lab, centres[labels]), _NEAREST)
        moved = weighted_means(points.lab, pull, labels, len(centres))
        centres = np.where(np.isfinite(moved), moved, centres)
    return centres


def _assign(cells_lab: Floats, points: Points, required: Bytes, centres: Floats) -> FewColours:
    """Move all but the required colours, which come first, to medians; round them, and give each cell the nearest."""
    held = len(required)
    free = _round_to_codes(points, move_to_medians(points, centres, held=held))[held:]
    codes = np.unique(np.concatenate([required, free]), axis=0)
    labels, errors = nearest_colours(cells_lab, lab_from_codes(codes))
    counts = np.bincount(labels, minlength=len(codes))
    order = np.argsort(-counts, kind="stable")[: np.count_nonzero(counts)]
    rank = np.empty(len(codes), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return FewColours(codes[order], rank[labels], errors)


def _round_to_codes(points: Points, centres: Floats) -> Bytes:
    """Return the 8-bit codes around each centre that serve its points best: up or down in each channel.

    Nearest codes alone can put a colour next to the very grey that most of its cells have.
    """
    exact = np.clip(srgb_from_linear(linear_from_lab(centres)) * 255, 0, 255)
    corners = np.minimum(np.floor(exact)[:, None] + list(product((0, 1), repeat=3)), 255).astype(np.uint8)
    labels, _ = nearest_colours(points.lab, centres)
    chosen = []
    for place, around in enumerate(corners):
        mine = labels == place
        table = difference_table(points.lab[mine], lab_from_codes(around))
        costs = (points.weights[mine, None] * table).sum(axis=0)
        off = np.abs(around - exact[place]).sum(axis=1)
        chosen.append(around[np.lexsort((off, costs.round(3)))[0]])  # rounded, so that order of sums decides nothing
    return np.array(chosen, dtype=np.uint8).reshape(-1, 3)
