"""The light in which a photograph was taken, and how to undo it: what makes a grey thing of it grey, in linear light.

The light's colour is divided out in the cone space of the Bradford transform (source: M. D. Fairchild, "Color
Appearance Models", 3rd edition 2013, section 9.5), not in sRGB: on 24 published chart reflectances under nine
standard illuminants the median CIEDE2000 left over was 1.1 … 4.6 against 0.6 … 6.8, and lower under seven of them.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.photo.copies import Codes, Region, mean_light
from palettes.photo.ground import PlainGround
from shared.arrays import Floats
from shared.colour import SRGB_TO_XYZ, lab_from_linear, linear_from_lab
from shared.errors import BadChoiceError

STRONGEST_CAST = 5.0
"""Ratio of the largest to the smallest cone response to a ground, white 1, above which it is thought to be coloured,
not lit by coloured light: light of 2,700 K seen by a camera set to daylight makes 4.7."""

GROUND_TAKEN = "the ground was taken for neutral grey or white; a grey card in the photograph would be surer"
GROUND_COLOURED = "the ground is strongly coloured, so colours stay as the camera gave them; give a grey card"
_CLIPPED = 0.98

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


@dataclass(frozen=True, slots=True, eq=False)
class Lighting:
    """What was found out about the light."""

    ground: PlainGround
    matrix: Floats
    """Makes neutral things grey, shape (3, 3)."""
    notices: tuple[str, ...]

    def even(self, linear: Floats) -> Floats:
        """Return a copy of the photograph, shape (rows, columns, 3), as in white light that falls evenly."""
        return balance(linear / self.ground.shade(linear.shape)[..., None], self.matrix)


def lighting_from_card(codes: Codes, ground: PlainGround, card: Card) -> Lighting:
    """Judge the light by a grey or white card.

    Raises
    ------
    BadChoiceError
        When the card cannot be used.
    """
    seen = card_light(codes, card.region)
    x, y = card.region.x + card.region.width / 2, card.region.y + card.region.height / 2
    shade = ground.shade_at(x / codes.shape[1], y / codes.shape[0])
    return Lighting(ground, balance_matrix(seen / shade, lightness=card.lightness), ())


def lighting_from_ground(ground: PlainGround) -> Lighting:
    """Judge the light by the ground, as if that were grey or white; its luminance is kept."""
    lab = ground.middle
    seen = linear_from_lab(lab)
    cones = cone_gains(np.maximum(seen, 1e-3), 1.0)
    if cones.max() > STRONGEST_CAST * cones.min():
        return Lighting(ground, np.eye(3), (GROUND_COLOURED,))
    notices = [GROUND_TAKEN]
    if seen.max() > _CLIPPED and seen.min() < _CLIPPED - 0.05:
        notices.append("the ground is over-exposed, so colours are less sure; take the photograph darker")
    return Lighting(ground, balance_matrix(np.maximum(seen, 1e-3)), tuple(notices))


def scale_region(region: Region, step: int, shape: tuple[int, ...]) -> Region:
    """Return a region in pixels of a copy ``step`` times smaller, at least one pixel of it."""
    left, top = min(region.x // step, shape[1] - 1), min(region.y // step, shape[0] - 1)
    return Region(left, top, max(1, region.width // step), max(1, region.height // step))


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


def balance(linear: NDArray[np.floating], matrix: Floats) -> Floats:
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
            f"the card at {_told(region)} is over-exposed; give a darker part of it, or take the photograph darker"
        )
    linear = mean_light(crop, max(1, min(crop.shape[:2]) // 12))
    mean = np.asarray(linear.mean(axis=(0, 1)))
    lab, centre = lab_from_linear(linear), lab_from_linear(mean)
    if centre[0] < DARKEST_CARD:
        raise BadChoiceError(f"the card at {_told(region)} is nearly black; give a grey or white one")
    if np.median(np.linalg.norm(lab - centre, axis=-1)) > MOST_CARD_SCATTER:
        raise BadChoiceError(f"the region {_told(region)} is not one even colour; give a part well inside the card")
    return mean


def _crop(codes: Codes, region: Region) -> Codes:
    height, width = codes.shape[:2]
    x, y, across, down = region
    if min(x, y) < 0 or min(across, down) < 1 or x + across > width or y + down > height:
        raise BadChoiceError(
            f"the card at {_told(region)} does not lie in the photograph, which has {width} x {height} pixels; "
            "give x,y,width,height counted from its upper left corner"
        )
    return codes[y : y + down, x : x + across]


def _told(region: Region) -> str:
    return ",".join(str(number) for number in region)
