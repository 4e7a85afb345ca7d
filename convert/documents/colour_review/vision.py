"""How colours look to eyes that lack one of the three kinds of cone, and which are then hard to tell apart."""

from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, codes_from_linear, lab_from_linear, linear_from_srgb
from shared.design import Design
from shared.letters import letter_of

Matrix = tuple[tuple[float, float, float], ...]


class Vision(NamedTuple):
    """A kind of colour vision."""

    word: str
    """Short, for files."""
    label: str
    matrix: Matrix
    """What it makes of linear sRGB, row by row."""


FULL = Vision("full", "full colour vision", ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)))

DEFICIENT = (
    Vision(
        "protan",
        "red-blind (protan)",
        ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    ),
    Vision(
        "deutan",
        "green-blind (deutan)",
        ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    ),
    Vision(
        "tritan",
        "blue-blind (tritan)",
        ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
    ),
)
"""The whole lack of one cone. Source: G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, "A Physiologically-based
Model for Simulation of Color Vision Deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009,
severity 1.0; for tritan an approximation, as the authors say."""

VISIONS = (FULL, *DEFICIENT)


def seen_linear(codes: NDArray[np.uint8], vision: Vision) -> NDArray[np.float64]:
    """Return what colours look like, in linear light clipped to 0 … 1.

    Parameters
    ----------
    codes
        8-bit sRGB, shape (colours, 3).
    """
    red, green, blue = linear_from_srgb(codes.astype(np.float64) / 255).T
    seen = np.stack([r * red + g * green + b * blue for r, g, b in vision.matrix], axis=1)
    return np.asarray(np.clip(seen, 0, 1))


def seen_codes(codes: NDArray[np.uint8], vision: Vision) -> NDArray[np.uint8]:
    """Return the same as 8-bit sRGB, shape (colours, 3)."""
    return codes_from_linear(seen_linear(codes, vision))


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
