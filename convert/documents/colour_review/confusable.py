"""Which colours of a design are hard to tell apart, and for whom."""

from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.documents.colour_review.vision import DEFICIENT, FULL, Vision, seen_linear
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_linear
from shared.design import Design, letter_of

TOO_CLOSE = 5.0
"""CIEDE2000 under which two colours of beads are hard to tell apart."""


class Pair(NamedTuple):
    """Two colours that are hard to tell apart."""

    first: str
    """Letters of the one."""
    second: str
    """Letters of the other, later in the list."""
    vision: Vision
    """Whose eyes confuse them; full colour vision stands for everybody."""
    difference: float
    """CIEDE2000 as those eyes see them."""


def confusable_pairs(design: Design) -> tuple[Pair, ...]:
    """Name the pairs of colours with a CIEDE2000 under `TOO_CLOSE`, kind of vision by kind, the closest first.

    A pair that everybody confuses is not named again for the deficient kinds. Sizes of one colour are no pair:
    they are told apart by size.
    """
    of_letters = {letter_of(bead.kind): codes_from_hex(bead.srgb) for bead in design.beads}
    letters, codes = tuple(of_letters), np.stack(list(of_letters.values()))
    for_all = _pairs(letters, codes, FULL)
    known = {(pair.first, pair.second) for pair in for_all}
    others = [pair for vision in DEFICIENT for pair in _pairs(letters, codes, vision)]
    return (*for_all, *(pair for pair in others if (pair.first, pair.second) not in known))


def _pairs(letters: tuple[str, ...], codes: NDArray[np.uint8], vision: Vision) -> list[Pair]:
    labs = lab_from_linear(seen_linear(codes, vision))
    table = ciede2000(labs[:, None], labs)
    pairs = [Pair(letters[i], letters[j], vision, float(table[i, j])) for i, j in combinations(range(len(letters)), 2)]
    return sorted((pair for pair in pairs if pair.difference < TOO_CLOSE), key=lambda pair: pair.difference)
