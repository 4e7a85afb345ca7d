"""The beads of a predicted surface as solids to look at.

Axes here are those of pictures and of glTF: x to the right, y up from the ground, z towards the reader's end
of the page; right-handed, in mm.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.surface.overlap import hole_axes
from convert.surface.support import Wrist
from convert.surface.surface import Surface
from shared.arrays import Bools, Floats, Floats32
from shared.beads import BeadSize
from shared.colour import codes_from_hex, linear_from_srgb
from shared.design import Design

SKIN = (0.62, 0.5, 0.42)
"""Linear sRGB of the wrist: a warm grey that stays behind the beads."""


class BeadSolid(NamedTuple):
    """A solid of revolution about its hole, cut off flat at both ends.

    At a distance s along the hole from the middle it reaches out to radius · sqrt(1 - swell · s²).
    """

    half_mm: float
    """Half its length."""
    radius_mm: float
    """Half its diameter."""
    swell: float
    """0 for a cylinder; per mm²."""
    hole_mm: float
    """Radius of the hole."""


class Solids(NamedTuple):
    """Solids of revolution."""

    centres_mm: Floats
    """Their middles, shape (solids, 3)."""
    axes: Floats
    """Directions of their holes, each of length 1, shape (solids, 3)."""
    shapes: Floats
    """The four figures of `BeadSolid`, shape (solids, 4)."""
    colours_linear: Floats
    """Linear sRGB, shape (solids, 3)."""

    def chosen(self, which: Bools) -> "Solids":
        """Return some of them."""
        return Solids(*(array[which] for array in self))

    def join(self, other: "Solids") -> "Solids":
        """Return these and others."""
        return Solids(*(np.concatenate(pair) for pair in zip(self, other, strict=True)))


def solid_of_size(size: BeadSize) -> BeadSolid:
    """Return the solid of a size: a cylinder, or a spheroid that is as wide as its hole at its ends."""
    half, radius, hole = size.length_mm / 2, size.diameter_mm / 2, size.hole_mm / 2
    swell = (1 - (hole / radius) ** 2) / half**2 if size.shape == "round" else 0.0
    return BeadSolid(half, radius, swell, hole)


def turn_upright(vectors: Floats) -> Floats:
    """Turn x right, y down, z up (left-handed, as in `Surface`) into x right, y up, z towards the reader."""
    return np.ascontiguousarray(vectors[..., [0, 2, 1]])


def make_bead_solids(surface: Surface, design: Design) -> Solids:
    """Return every bead of a surface, in the order of its beads, in the colours of its design."""
    shapes = np.array([solid_of_size(size) for size in surface.bead_sizes.sizes])
    colours = linear_from_srgb(np.array([codes_from_hex(bead.srgb) for bead in design.beads]) / 255)
    return Solids(
        turn_upright(surface.centres_mm),
        turn_upright(hole_axes(surface)),
        shapes[surface.levels],
        colours[design.cells],
    )


def make_wrist_solid(surface: Surface, ground: Wrist) -> Solids:
    """Return the wrist under a work as one cylinder that reaches out on both sides."""
    across = surface.centres_mm[:, 0]
    radius = ground.radius_mm - surface.bead_sizes.sizes[surface.common].diameter_mm / 2
    shape = BeadSolid(np.ptp(across) / 2 + radius / 6, radius, 0.0, 0.0)
    middle = [(across.min() + across.max()) / 2, -ground.radius_mm, 0.0]
    return Solids(np.array([middle]), np.array([[1.0, 0.0, 0.0]]), np.array([shape]), np.array([SKIN]))


AROUND = 20
"""Sides of a bead."""

ALONG = 9
"""Places along the outside of a round bead."""

EDGE = 0.12
"""How much of its shorter side the edge of a cylinder is rounded off."""


class Mesh(NamedTuple):
    """Triangles, seen from outside in counter-clockwise order."""

    points_mm: Floats32
    """Shape (points, 3); the hole along the first axis, the middle at 0."""
    normals: Floats32
    """Shape (points, 3), length 1."""
    triangles: NDArray[np.uint16]
    """Shape (triangles, 3)."""


def make_bead_mesh(shape: BeadSolid) -> Mesh:
    """Return the mesh of one shape of bead, with its hole.

    The profile runs from one end along the outside to the other, and back through the hole.
    """
    outside = _cylinder(shape) if shape.swell == 0 else _spheroid(shape)
    bore = np.array([[shape.half_mm, shape.hole_mm, 0, -1], [-shape.half_mm, shape.hole_mm, 0, -1]])
    ends = _end(outside[-1], shape, 1), _end(outside[0], shape, -1)
    strips = [outside, bore] if shape.swell else [outside, ends[0], bore, ends[1]]
    return _join_meshes([_turn_profile(strip) for strip in strips])


def _cylinder(shape: BeadSolid) -> Floats:
    """Return the outside profile, shape (places, 4): along, out, and the normal likewise; edges rounded off."""
    edge = EDGE * min(2 * shape.half_mm, shape.radius_mm)
    angle = np.linspace(np.pi / 2, 0, 4)
    corner = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    right = np.concatenate([[shape.half_mm - edge, shape.radius_mm - edge] + edge * corner, corner], axis=1)
    return np.concatenate([right[::-1] * [-1, 1, -1, 1], right])


def _spheroid(shape: BeadSolid) -> Floats:
    along = np.linspace(-shape.half_mm, shape.half_mm, ALONG)
    out = shape.radius_mm * np.sqrt(1 - shape.swell * along**2)
    normal = np.stack([shape.swell * shape.radius_mm**2 * along, out], axis=1)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    return np.concatenate([along[:, None], out[:, None], normal], axis=1)


def _end(rim: Floats, shape: BeadSolid, side: int) -> Floats:
    """Return the flat end between the outside and the hole."""
    ring = np.array([[rim[0], rim[1], side, 0], [rim[0], shape.hole_mm, side, 0]])
    return ring if side > 0 else ring[::-1]


def _turn_profile(profile: Floats) -> Mesh:
    """Turn a profile about the hole."""
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    wheel = np.stack([np.cos(angle), np.sin(angle)], axis=1)

    def spun(pair: Floats) -> Floats32:
        along = np.broadcast_to(pair[:, None, :1], (len(pair), AROUND, 1))
        return np.concatenate([along, pair[:, None, 1:] * wheel], axis=2).reshape(-1, 3).astype(np.float32)

    place, next_ = np.arange(AROUND), (np.arange(AROUND) + 1) % AROUND
    first = np.arange(len(profile) - 1)[:, None] * AROUND
    a, b, c, d = first + place, first + next_, first + AROUND + place, first + AROUND + next_
    triangles = np.stack([a, b, c, b, d, c], axis=2).reshape(-1, 3)
    return Mesh(spun(profile[:, :2]), spun(profile[:, 2:]), triangles.astype(np.uint16))


def _join_meshes(parts: list[Mesh]) -> Mesh:
    starts = np.cumsum([0, *(len(part.points_mm) for part in parts[:-1])])
    triangles = [part.triangles + np.uint16(start) for part, start in zip(parts, starts, strict=True)]
    return Mesh(
        np.concatenate([part.points_mm for part in parts]),
        np.concatenate([part.normals for part in parts]),
        np.concatenate(triangles).astype(np.uint16),
    )
