"""How light falls on the beads: one lamp and an even sky, both with shadows.

Each light is a look from its side; what it does not see lies in shadow. A sky of several such lamps darkens
the gaps between beads and the ground beneath domes.
"""

from dataclasses import dataclass

import numpy as np

from convert.surface.render.camera import Camera, camera_axes, frame_solids
from convert.surface.render.ray_cast import cast_rays
from convert.surface.render.solids import Solids
from shared.arrays import Floats, Floats32

LAMP = (-0.62, 0.75, 0.1)
"""Towards the lamp: to the right on the page, up from it, and down the page."""

SKY_LAMPS = 6

LAMP_SHARE = 0.62
"""How much of the light on a level surface comes from the lamp."""

SHADOW_PIXELS = 250_000
"""In the look of each light, at most."""

FINEST_SHADOW = 8.0
"""Pixels to one mm in such a look, at most."""

SLACK_MM = 0.1
"""A point may lie so far behind what the light sees and still be lit."""

# Four places on a slanted square: they soften an edge that runs down as well as one that runs across.
_TAPS = ((-0.25, -0.75), (0.75, -0.25), (0.25, 0.75), (-0.75, 0.25))


@dataclass(frozen=True, eq=False, slots=True)
class Light:
    """One light.

    Parameters
    ----------
    towards
        Direction, shape (3,), length 1.
    power
        Of the light on a surface that faces it; on a level surface all lights together give 1.
    camera, near_mm
        The look from the light, and how near it meets something, shape (height, width).
    """

    towards: Floats
    power: float
    camera: Camera
    near_mm: Floats32

    def reaches(self, points_mm: Floats32, *, soft: bool) -> Floats32:
        """Return 1 where a point is lit and 0 where it is in shadow, shape (points,); soft: a mean of four places."""
        x, y, near = self.camera.seen(points_mm)
        near_mm, lit = self.near_mm.ravel(), np.zeros(len(near), np.float32)
        taps = _TAPS if soft else ((0.0, 0.0),)
        for dx, dy in taps:
            column = np.clip((x + np.float32(dx)).astype(np.int32), 0, self.camera.width - 1)
            row = np.clip((y + np.float32(dy)).astype(np.int32), 0, self.camera.height - 1)
            lit += near + np.float32(SLACK_MM) >= near_mm[row * self.camera.width + column]
        return lit / np.float32(len(taps))


def make_lights(solids: Solids, *, lamp: Floats) -> tuple[Light, ...]:
    """Return the lamp, and then the lamps of the sky, with the shadows that the solids throw; lamp is the way to it."""
    angle = 2 * np.pi * (np.arange(SKY_LAMPS - 1) + 0.25) / (SKY_LAMPS - 1)
    height = 0.55 + 0.2 * (np.arange(SKY_LAMPS - 1) % 2)
    flat = np.sqrt(1 - height**2)
    sky = np.stack([flat * np.cos(angle), height, flat * np.sin(angle)], axis=1)
    sky = np.concatenate([[[0.0, 1.0, 0.0]], sky])
    share = (1 - LAMP_SHARE) / float(sky[:, 1].sum())
    lamp = lamp / np.linalg.norm(lamp)
    return (_light(solids, lamp, LAMP_SHARE / float(lamp[1])), *(_light(solids, one, share) for one in sky))


def _light(solids: Solids, towards: Floats, power: float) -> Light:
    # Straight from above up in the picture would lie along the look itself.
    up = np.array([0.0, 0.0, -1.0]) if towards[1] > 0.99 else np.array([0.0, 1.0, 0.0])
    axes = camera_axes(towards, up)
    rough = frame_solids(axes, solids, scale=1.0, margin_mm=1.0)
    scale = min(FINEST_SHADOW, float(np.sqrt(SHADOW_PIXELS / (rough.width * rough.height))))
    # At the rim of its look nothing may stand: beyond it the rim goes on.
    camera = frame_solids(axes, solids, scale=scale, margin_mm=max(1.0, 2 / scale))
    return Light(towards, power, camera, cast_rays(solids, camera).near_mm.astype(np.float32))
