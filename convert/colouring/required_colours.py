"""Few colours of which some are given: the others are chosen for what the given ones do not serve."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from convert.colouring.k_medians import newcomer
from convert.colouring.quantise import Chosen, by_count, candidates_of, few_colours, merged, rounded
from convert.colouring.swaps import swapped
from shared.ciede2000 import difference_table
from shared.colour import lab_from_codes
from shared.errors import BadChoiceError
from shared.nearest_colour import nearest_colours

Floats = NDArray[np.float64]

_ROUNDS = 2


def few_colours_beside(cells_lab: Floats, colours: int, given: NDArray[np.uint8]) -> Chosen:
    """Choose at most so many colours, the given ones among them.

    Several choices are tried: the best palette of the places left, a free choice in which given colours take the
    places of the nearest, and colours for those cells alone that no given colour serves. The best is improved by
    swaps that leave the given ones in. So given colours never cost more than the places they take.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    colours
        How many at the most.
    given
        8-bit sRGB codes of those that are in, shape (given, 3); one that is nearest to no cell is not used.

    Raises
    ------
    BadChoiceError
        When more are given than asked for.
    """
    free = colours - len(given)
    if free < 0:
        raise BadChoiceError(f"{len(given)} colours are to be kept, but only {colours} asked for; raise --colours")
    if not free:
        return _served(cells_lab, given)
    starts = [few_colours(cells_lab, free).codes, *_beside(cells_lab, colours, given)]
    best = min((_served(cells_lab, np.concatenate([given, added])) for added in starts), key=_total)
    return min(best, _exchanged(cells_lab, given, best.codes, colours), key=_total)


def _total(chosen: Chosen) -> float:
    return float(chosen.errors.sum())


def _beside(cells_lab: Floats, colours: int, given: NDArray[np.uint8]) -> Iterator[NDArray[np.uint8]]:
    """Yield colours to add: a free choice without the nearest to the given, then chosen for what those do not serve."""
    added = _without_nearest(few_colours(cells_lab, colours).codes, given)
    for _ in range(_ROUNDS):
        yield added
        rest = _is_free(cells_lab, given, added)
        if not rest.any():
            return
        added = few_colours(cells_lab[rest], colours - len(given)).codes


def _exchanged(cells_lab: Floats, given: NDArray[np.uint8], codes: NDArray[np.uint8], colours: int) -> Chosen:
    """Fill places that are free, and exchange all but the given colours as long as that helps."""
    points, weights = merged(cells_lab)
    own = [code for code in codes if not (given == code).all(axis=1).any()]
    palette = lab_from_codes(np.array([*given, *own], dtype=np.uint8))
    while len(palette) < min(colours, len(points)):
        served = difference_table(points, palette).min(axis=1)
        palette = np.concatenate([palette, newcomer(points, weights, served)[None]])
    held = len(given)
    better = swapped(points, weights, palette, candidates_of(points, weights), held=held)
    added = rounded(points, weights, better)
    kept = np.delete(np.arange(len(added)), np.arange(held)) if len(added) == len(better) else np.arange(len(added))
    return _served(cells_lab, np.concatenate([given, added[kept]]))


def _without_nearest(codes: NDArray[np.uint8], given: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Leave out the colour nearest to each given one, which takes its place."""
    for colour in given:
        if len(codes):
            codes = np.delete(codes, nearest_colours(lab_from_codes(colour[None]), lab_from_codes(codes))[0], axis=0)
    return codes


def _served(cells_lab: Floats, codes: NDArray[np.uint8]) -> Chosen:
    different = np.unique(codes, axis=0)
    labels, errors = nearest_colours(cells_lab, lab_from_codes(different))
    return by_count(different, labels, errors)


def _is_free(cells_lab: Floats, given: NDArray[np.uint8], added: NDArray[np.uint8]) -> NDArray[np.bool_]:
    labels, _ = nearest_colours(cells_lab, lab_from_codes(np.concatenate([given, added])))
    return np.asarray(labels >= len(given))
