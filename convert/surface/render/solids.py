"""The beads of a predicted surface as solids to look at.

Axes here are those of pictures and of glTF: x to the right, y up from the ground, z towards the reader's end
of the page; right-handed, in mm.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from convert.surface.overlap import hole_axes
from convert.surface.support import Wrist
from convert.surface.surface import Surface
from shared.arrays import Bools, Floats
from shared.beads import BeadSize
from shared.colour import codes_from_hex, linear_from_srgb
from shared.design import Design

SKIN = (0.62, 0.5, 0.42)
"""Linear sRGB of the wrist: a warm grey that stays behind the beads."""


class Shape(NamedTuple):
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


@dataclass(frozen=True, eq=False, slots=True)
class Solids:
    """Solids of revolution.

    Parameters
    ----------
    centres_mm, axes
        Middle and direction of the hole (length 1), shape (solids, 3).
    shapes
        The four figures of `Shape`, shape (solids, 4).
    colours_linear
        Linear sRGB, shape (solids, 3).
    """

    centres_mm: Floats
    axes: Floats
    shapes: Floats
    colours_linear: Floats

    def __post_init__(self) -> None:
        for array in (self.centres_mm, self.axes, self.shapes, self.colours_linear):
            array.flags.writeable = False

    def chosen(self, which: Bools) -> "Solids":
        """Return some of them."""
        return Solids(self.centres_mm[which], self.axes[which], self.shapes[which], self.colours_linear[which])

    def joined(self, other: "Solids") -> "Solids":
        """Return these and others."""
        return Solids(
            np.concatenate([self.centres_mm, other.centres_mm]),
            np.concatenate([self.axes, other.axes]),
            np.concatenate([self.shapes, other.shapes]),
            np.concatenate([self.colours_linear, other.colours_linear]),
        )


def shape_of(size: BeadSize) -> Shape:
    """Return the solid of a size: a cylinder, or a spheroid that is as wide as its hole at its ends."""
    half, radius, hole = size.length_mm / 2, size.diameter_mm / 2, size.hole_mm / 2
    swell = (1 - (hole / radius) ** 2) / half**2 if size.shape == "round" else 0.0
    return Shape(half, radius, swell, hole)


def upright(vectors: Floats) -> Floats:
    """Turn x right, y down, z up (left-handed, as in `Surface`) into x right, y up, z towards the reader."""
    return np.ascontiguousarray(vectors[..., [0, 2, 1]])


def bead_solids(surface: Surface, design: Design) -> Solids:
    """Return every bead of a work, in the order of its beads.

    Parameters
    ----------
    surface
        The shape.
    design
        The colours.
    """
    shapes = np.array([shape_of(size) for size in surface.bead_sizes.sizes])
    colours = linear_from_srgb(np.array([codes_from_hex(bead.srgb) for bead in design.beads]) / 255)
    return Solids(
        upright(surface.centres_mm), upright(hole_axes(surface)), shapes[surface.levels], colours[design.cells]
    )


def wrist_solid(surface: Surface, ground: Wrist) -> Solids:
    """Return the wrist under a work as one cylinder that reaches out on both sides."""
    across = surface.centres_mm[:, 0]
    radius = ground.radius_mm - surface.bead_sizes.sizes[surface.common].diameter_mm / 2
    shape = Shape(np.ptp(across) / 2 + radius / 6, radius, 0.0, 0.0)
    middle = [(across.min() + across.max()) / 2, -ground.radius_mm, 0.0]
    return Solids(np.array([middle]), np.array([[1.0, 0.0, 0.0]]), np.array([shape]), np.array([SKIN]))
