"""How light falls on the beads, one lamp and an even sky, both with shadows; and the light that comes back.

Each light is a look from its side; what it does not see lies in shadow. A sky of several such lamps darkens
the gaps between beads and the ground beneath domes.
"""

from dataclasses import dataclass

import numpy as np

from convert.surface.render.camera import Camera, camera_axes, frame_solids
from convert.surface.render.ray_cast import Seen, cast_rays
from convert.surface.render.solids import Solids
from shared.arrays import Bools, Floats, Floats32, Ints

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
"""A point may lie at most this far behind what the light sees and still be lit."""

# Four places on a slanted square: they soften an edge that runs down as well as one that runs across.
_TAPS = ((-0.25, -0.75), (0.75, -0.25), (0.25, 0.75), (-0.75, 0.25))

LIFT_MM = 0.12
"""A point is moved out of its own bead by this before its shadow is looked up."""

POINTS = 40_000
"""Worked on at a time: few enough to stay in the cache."""

STRIDE = 4
"""Shadows on the table are soft: they are looked up at every fourth pixel."""

SOFT_MM = 0.8
"""How far they are smoothed, for the few lamps of the sky throw shadows with edges."""

FADE_MM = 3.0
"""Towards the edge of the picture they fade."""

GLOSS = 0.2
SHARPNESS = 50
"""The strength of the lamp's reflection in the glass, and how small it is."""


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
        x, y, near = self.camera.project(points_mm)
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


def shade(
    seen: Seen, solids: Solids, camera: Camera, lights: tuple[Light, ...], *, ground_mm: float | None, paper: Floats
) -> Floats32:
    """Return the linear light of every pixel, shape (height, width, 3).

    Shadows fall on a table at ``ground_mm``, if there is one; ``paper`` is the linear sRGB of it, and of the space
    around.
    """
    picture = np.empty((*seen.solid.shape, 3), np.float32)
    picture[:] = paper
    if ground_mm is not None:
        picture *= _ground_light(camera, lights, ground_mm)[..., None]
    rows, columns = np.nonzero(seen.solid >= 0)
    for first in range(0, rows.size, POINTS):
        part = rows[first : first + POINTS], columns[first : first + POINTS]
        picture[part] = _bead_light(seen, solids, camera, lights, part)
    return picture


def _ground_light(camera: Camera, lights: tuple[Light, ...], ground_mm: float) -> Floats32:
    """Return how much of all light reaches the table in each pixel, 0 to 1."""
    from scipy.ndimage import gaussian_filter

    right, up, near = camera.axes
    columns, rows = np.arange(0, camera.width + STRIDE, STRIDE), np.arange(0, camera.height + STRIDE, STRIDE)
    x, y = np.meshgrid(camera.across_mm(columns), camera.upward_mm(rows))
    deep = (ground_mm - x * right[1] - y * up[1]) / near[1]
    points = (x[..., None] * right + y[..., None] * up + deep[..., None] * near).reshape(-1, 3).astype(np.float32)
    share = np.zeros(x.shape, np.float32)
    for light in lights:
        level = np.float32(light.power * light.towards[1])
        share += level * light.reaches(points, soft=True).reshape(x.shape)
    softened = gaussian_filter(share, SOFT_MM * camera.scale / STRIDE, mode="nearest")
    # Shadows thrown from beyond the picture are not known: near its edge all is taken for lit.
    fading = FADE_MM * camera.scale / STRIDE
    edge = [np.minimum(1 + np.arange(n), np.arange(n, 0, -1)) / fading for n in share.shape]
    kept = np.minimum(1, np.minimum.outer(*edge)).astype(np.float32)
    return _between(_between(1 - kept * (1 - softened), camera.height).T, camera.width).T


def _between(coarse: Floats32, count: int) -> Floats32:
    """Fill in rows between rows that are `STRIDE` apart."""
    whole, rest = np.divmod(np.arange(count), STRIDE)
    part = (rest / STRIDE).astype(np.float32)[:, None]
    return np.asarray(coarse[whole] * (1 - part) + coarse[whole + 1] * part)


def _bead_light(
    seen: Seen, solids: Solids, camera: Camera, lights: tuple[Light, ...], part: tuple[Ints, Ints]
) -> Floats32:
    number = seen.solid[part]
    places = np.stack([camera.across_mm(part[1]), camera.upward_mm(part[0]), seen.near_mm[part]])
    points = camera.axes.T @ places
    offset = (points - solids.centres_mm.T[:, number]).astype(np.float32)
    normal, hole = _surface(
        offset, solids.axes.T.astype(np.float32)[:, number], solids.shapes.T.astype(np.float32)[:, number]
    )
    outside = points.astype(np.float32) + np.float32(LIFT_MM) * normal
    diffuse, gloss = np.zeros(number.size, np.float32), np.zeros(number.size, np.float32)
    for place, light in enumerate(lights):
        reached = light.reaches(outside.T, soft=place == 0)
        cosine = light.towards.astype(np.float32) @ normal
        # Glass lets light creep round: it fades to nothing a little beyond square on, not at it.
        diffuse += np.float32(light.power) * reached * np.maximum((cosine + np.float32(0.15)) / np.float32(1.15), 0)
        if place == 0:
            # A mirror halfway between lamp and eye shows the lamp (J. Blinn, "Models of light reflection", 1977).
            half = light.towards + camera.axes[2]
            mirrored = (half / np.linalg.norm(half)).astype(np.float32) @ normal
            gloss = np.float32(GLOSS) * reached * np.maximum(mirrored, 0) ** SHARPNESS
    # Some light comes from everywhere, so that colours show in the deepest shade too.
    light_back = np.float32(0.04) + np.float32(0.96) * diffuse
    colour = solids.colours_linear.T.astype(np.float32)[:, number] * light_back + gloss
    return np.asarray((np.where(hole, np.float32(0.25), np.float32(1)) * colour).T)


def _surface(offset: Floats32, axis: Floats32, shape: Floats32) -> tuple[Floats32, Bools]:
    """Return which way the surface faces, shape (3, points), edges of cylinders rounded, and where the hole is."""
    half, radius, swell, hole = shape
    along = _dot(offset, axis)
    out = offset - along * axis
    from_end = half - np.abs(along)
    # Places come as 32-bit floats, which hardly place a point on an end exactly: a micrometre off is still on it.
    at_end = from_end < np.float32(1e-3)
    rounding = np.clip(1 - from_end / (np.float32(0.4) * half), 0, 1) ** 2 * (swell == 0)
    lean = np.where(at_end, 1.5 * radius, swell * radius**2 * np.abs(along) + np.float32(0.8) * rounding * radius)
    # Edges are rounded in the light alone: the solid stays a cylinder, whose rays are found in closed form.
    normal = out + np.sign(along) * lean * axis
    normal /= np.maximum(np.sqrt(_dot(normal, normal)), np.float32(1e-9))
    return normal, at_end & (_dot(out, out) < hole**2)


def _dot(one: Floats32, other: Floats32) -> Floats32:
    return np.asarray(one[0] * other[0] + one[1] * other[1] + one[2] * other[2])
