"""How colours look to eyes that lack one of the three kinds of cone."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.colour import codes_from_linear, linear_from_srgb

Matrix = tuple[tuple[float, float, float], ...]


class Vision(NamedTuple):
    """A kind of colour vision."""

    word: str
    """Short, for files."""
    label: str
    """For people."""
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
    vision
        Whose eyes.
    """
    red, green, blue = linear_from_srgb(codes.astype(np.float64) / 255).T
    seen = np.stack([r * red + g * green + b * blue for r, g, b in vision.matrix], axis=1)
    return np.asarray(np.clip(seen, 0, 1))


def seen_codes(codes: NDArray[np.uint8], vision: Vision) -> NDArray[np.uint8]:
    """Return the same as 8-bit sRGB, shape (colours, 3)."""
    return codes_from_linear(seen_linear(codes, vision))
