"""The light in which a photograph was taken, and how to undo it."""

from dataclasses import dataclass

import numpy as np

from palettes.photo.balance import Card, balance_matrix, balanced, card_light, cone_gains
from palettes.photo.ground import Ground
from palettes.photo.reduce import Codes
from palettes.photo.values import Region
from shared.arrays import Floats
from shared.colour import linear_from_lab

STRONGEST_CAST = 5.0
"""Ratio of the largest to the smallest cone response to a ground, white 1, above which it is thought to be coloured,
not lit by coloured light: light of 2,700 K seen by a camera set to daylight makes 4.7."""

GROUND_TAKEN = "the ground was taken for neutral grey or white; a grey card in the photograph would be surer"
GROUND_COLOURED = "the ground is strongly coloured, so colours stay as the camera gave them; give a grey card"
_CLIPPED = 0.98


@dataclass(frozen=True, slots=True, eq=False)
class Lighting:
    """What was found out about the light."""

    ground: Ground
    matrix: Floats
    """Makes neutral things grey, shape (3, 3)."""
    notices: tuple[str, ...]

    def even(self, linear: Floats) -> Floats:
        """Return a copy of the photograph, shape (rows, columns, 3), as in white light that falls evenly."""
        return balanced(linear / self.ground.shade(linear.shape)[..., None], self.matrix)


def lighting_from_card(codes: Codes, ground: Ground, card: Card) -> Lighting:
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


def lighting_from_ground(ground: Ground) -> Lighting:
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


def scaled(region: Region, step: int, shape: tuple[int, ...]) -> Region:
    """Return a region in pixels of a copy ``step`` times smaller, at least one pixel of it."""
    left, top = min(region.x // step, shape[1] - 1), min(region.y // step, shape[0] - 1)
    return Region(left, top, max(1, region.width // step), max(1, region.height // step))
