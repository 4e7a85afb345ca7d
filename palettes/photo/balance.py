"""White balance: what makes a grey thing of the photograph grey, in linear light.

The light's colour is divided out in the cone space of the Bradford transform (source: M. D. Fairchild, "Color
Appearance Models", 3rd edition 2013, section 9.5), not in sRGB: on 24 published chart reflectances under nine
standard illuminants the median CIEDE2000 left over was 1.1 … 4.6 against 0.6 … 6.8, and lower under seven of them.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.reduce import Codes, reduced_light
from palettes.photo.values import Region
from shared.arrays import Floats
from shared.colour import SRGB_TO_XYZ, lab_from_linear, linear_from_lab
from shared.errors import BadChoiceError

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""CIE XYZ to sharpened cone responses."""
MOST_CARD_SCATTER = 8.0
"""Median distance in Lab of a card's pixels from their mean; more is no one even colour."""
DARKEST_CARD = 10.0
"""L* below which a card says too little of the light."""

_TO_CONES = BRADFORD @ SRGB_TO_XYZ


class Card(NamedTuple):
    """A grey or white card in the photograph."""

    region: Region
    """A part well inside it."""
    lightness: float | None = None
    """Its own L*, when known (18 % grey: 49.5): then the exposure is set right too. None keeps the exposure."""


def balance_matrix(seen: Floats, *, lightness: float | None = None) -> Floats:
    """Return the matrix that turns a neutral thing, as seen, into grey.

    Parameters
    ----------
    seen
        Linear sRGB of the thing in the photograph, shape (3,), none of them zero.
    lightness
        L* that it shall have; None keeps its luminance.

    Returns
    -------
    ndarray
        Shape (3, 3), for linear sRGB column vectors.
    """
    luminance = float(seen @ SRGB_TO_XYZ[1])
    if lightness is not None:
        luminance = float(linear_from_lab(np.array([lightness, 0.0, 0.0])) @ SRGB_TO_XYZ[1])
    return np.asarray(np.linalg.inv(_TO_CONES) @ (cone_gains(seen, luminance)[:, None] * _TO_CONES))


def cone_gains(seen: Floats, luminance: float) -> Floats:
    """Return what each cone response to a thing must be multiplied by to make it a grey of a luminance, shape (3,)."""
    return np.asarray((_TO_CONES @ np.full(3, luminance)) / np.maximum(_TO_CONES @ seen, 1e-6))


def balanced(linear: NDArray[np.floating], matrix: Floats) -> Floats:
    """Return linear light, shape (…, 3), after a balance matrix; never below zero."""
    r, g, b = np.moveaxis(linear, -1, 0)
    return np.stack([np.maximum(row[0] * r + row[1] * g + row[2] * b, 0) for row in matrix], axis=-1)


def card_light(codes: Codes, region: Region) -> Floats:
    """Return the mean linear light of a card, shape (3,).

    Raises
    ------
    BadChoiceError
        When the region lies outside the photograph, or is over-exposed, nearly black or not one even colour.
    """
    crop = _crop(codes, region)
    if (crop >= np.iinfo(codes.dtype).max - 1).any(axis=-1).mean() > 0.02:
        raise BadChoiceError(
            f"the card at {_words(region)} is over-exposed; give a darker part of it, or take the photograph darker"
        )
    linear = reduced_light(crop, max(1, min(crop.shape[:2]) // 12))
    mean = np.asarray(linear.mean(axis=(0, 1)))
    lab, centre = lab_from_linear(linear), lab_from_linear(mean)
    if centre[0] < DARKEST_CARD:
        raise BadChoiceError(f"the card at {_words(region)} is nearly black; give a grey or white one")
    if np.median(np.linalg.norm(lab - centre, axis=-1)) > MOST_CARD_SCATTER:
        raise BadChoiceError(f"the region {_words(region)} is not one even colour; give a part well inside the card")
    return mean


def _crop(codes: Codes, region: Region) -> Codes:
    height, width = codes.shape[:2]
    x, y, across, down = region
    if min(x, y) < 0 or min(across, down) < 1 or x + across > width or y + down > height:
        raise BadChoiceError(
            f"the card at {_words(region)} does not lie in the photograph, which has {width} x {height} pixels; "
            "give x,y,width,height counted from its upper left corner"
        )
    return codes[y : y + down, x : x + across]


def _words(region: Region) -> str:
    return ",".join(str(number) for number in region)
