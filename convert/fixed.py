"""Few colours of which some are given: the others are chosen for what the given ones do not serve."""

import numpy as np
from numpy.typing import NDArray

from convert.medians import nearest
from convert.quantise import Chosen, by_count, few_colours
from shared.colour import lab_from_codes
from shared.errors import BadChoiceError

Floats = NDArray[np.float64]

_ROUNDS = 4


def few_colours_beside(cells_lab: Floats, colours: int, given: NDArray[np.uint8]) -> Chosen:
    """Choose at most so many colours, the given ones among them.

    Given colours take the places of the nearest of a free choice; the others are then chosen again and again for
    those cells alone that no given colour serves better, keeping the best state seen.

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
    best = _served(cells_lab, given)
    added = _without_nearest(few_colours(cells_lab, colours).codes, given)
    for _ in range(_ROUNDS if free else 0):
        found = _served(cells_lab, np.concatenate([given, added]))
        if found.errors.sum() < best.errors.sum():
            best = found
        rest = _is_free(cells_lab, given, added)
        if not rest.any():
            break
        added = few_colours(cells_lab[rest], free).codes
    return best


def _without_nearest(codes: NDArray[np.uint8], given: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Leave out the colour nearest to each given one, which takes its place."""
    for colour in given:
        if len(codes):
            codes = np.delete(codes, nearest(lab_from_codes(colour[None]), lab_from_codes(codes))[0], axis=0)
    return codes


def _served(cells_lab: Floats, codes: NDArray[np.uint8]) -> Chosen:
    different = np.unique(codes, axis=0)
    labels, errors = nearest(cells_lab, lab_from_codes(different))
    return by_count(different, labels, errors)


def _is_free(cells_lab: Floats, given: NDArray[np.uint8], added: NDArray[np.uint8]) -> NDArray[np.bool_]:
    labels, _ = nearest(cells_lab, lab_from_codes(np.concatenate([given, added])))
    return np.asarray(labels >= len(given))
