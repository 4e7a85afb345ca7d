"""Beads as triangles: a profile turned about the hole."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.surface.render.solids import Shape
from shared.arrays import Floats, Singles

AROUND = 20
"""Sides of a bead."""

ALONG = 9
"""Places along the outside of a round bead."""

EDGE = 0.12
"""How much of its shorter side the edge of a cylinder is rounded off."""


class Mesh(NamedTuple):
    """Triangles, seen from outside in counter-clockwise order."""

    points_mm: Singles
    """Shape (points, 3); the hole along the first axis, the middle at 0."""
    normals: Singles
    """Shape (points, 3), length 1."""
    triangles: NDArray[np.uint16]
    """Shape (triangles, 3)."""


def bead_mesh(shape: Shape) -> Mesh:
    """Return the mesh of one shape of bead, with its hole.

    The profile runs from one end along the outside to the other, and back through the hole.
    """
    outside = _cylinder(shape) if shape.swell == 0 else _spheroid(shape)
    bore = np.array([[shape.half_mm, shape.hole_mm, 0, -1], [-shape.half_mm, shape.hole_mm, 0, -1]])
    ends = _end(outside[-1], shape, 1), _end(outside[0], shape, -1)
    strips = [outside, bore] if shape.swell else [outside, ends[0], bore, ends[1]]
    return _joined([_turned(strip) for strip in strips])


def _cylinder(shape: Shape) -> Floats:
    """Return the outside profile, shape (places, 4): along, out, and the normal likewise; edges rounded off."""
    edge = EDGE * min(2 * shape.half_mm, shape.radius_mm)
    angle = np.linspace(np.pi / 2, 0, 4)
    corner = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    right = np.concatenate([[shape.half_mm - edge, shape.radius_mm - edge] + edge * corner, corner], axis=1)
    return np.concatenate([right[::-1] * [-1, 1, -1, 1], right])


def _spheroid(shape: Shape) -> Floats:
    along = np.linspace(-shape.half_mm, shape.half_mm, ALONG)
    out = shape.radius_mm * np.sqrt(1 - shape.swell * along**2)
    normal = np.stack([shape.swell * shape.radius_mm**2 * along, out], axis=1)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    return np.concatenate([along[:, None], out[:, None], normal], axis=1)


def _end(rim: Floats, shape: Shape, side: int) -> Floats:
    """Return the flat end between the outside and the hole."""
    ring = np.array([[rim[0], rim[1], side, 0], [rim[0], shape.hole_mm, side, 0]])
    return ring if side > 0 else ring[::-1]


def _turned(profile: Floats) -> Mesh:
    """Turn a profile about the hole."""
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    wheel = np.stack([np.cos(angle), np.sin(angle)], axis=1)

    def spun(pair: Floats) -> Singles:
        along = np.broadcast_to(pair[:, None, :1], (len(pair), AROUND, 1))
        return np.concatenate([along, pair[:, None, 1:] * wheel], axis=2).reshape(-1, 3).astype(np.float32)

    place, next_ = np.arange(AROUND), (np.arange(AROUND) + 1) % AROUND
    first = np.arange(len(profile) - 1)[:, None] * AROUND
    a, b, c, d = first + place, first + next_, first + AROUND + place, first + AROUND + next_
    triangles = np.stack([a, b, c, b, d, c], axis=2).reshape(-1, 3)
    return Mesh(spun(profile[:, :2]), spun(profile[:, 2:]), triangles.astype(np.uint16))


def _joined(parts: list[Mesh]) -> Mesh:
    starts = np.cumsum([0, *(len(part.points_mm) for part in parts[:-1])])
    triangles = [part.triangles + np.uint16(start) for part, start in zip(parts, starts, strict=True)]
    return Mesh(
        np.concatenate([part.points_mm for part in parts]),
        np.concatenate([part.normals for part in parts]),
        np.concatenate(triangles).astype(np.uint16),
    )
