"""Round domes: how high they rise, and where their colour rings lie.

A dome is cut into levels at a quarter, half and three quarters of its height; the colour rings
are drawn on those contours, so that a ring of colour is a ring of one bead size.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from canvas import Bytes, Points

STEEPNESS = 1.35
"""1 is a cone; more than 1 rounds the top. At 1.35 every ring stays wider than one bead."""


@dataclass(frozen=True, slots=True)
class Dome:
    """A round dome; lengths in the unit of the canvas."""

    x: float
    y: float
    radius: float

    def contour(self, height: float) -> float:
        """Return the radius at which the dome is `height` high (0 at the foot, 1 on top)."""
        return float(self.radius * (1 - height) ** (1 / STEEPNESS))

    def rim(self, reach: float, count: int) -> Points:
        """Return `count` evenly spaced points, shape (count, 2), at a distance from the middle."""
        angles = 2 * np.pi * (np.arange(count) + 0.5) / count
        return np.stack([self.x + reach * np.cos(angles), self.y + reach * np.sin(angles)], axis=1)


def height_map(size_px: tuple[int, int], domes: list[Dome], *, pixels_per_unit: float = 1.0) -> Bytes:
    """Return the heights of all domes as greys, shape (height, width): black flat, white on top."""
    x = ((np.arange(size_px[0]) + 0.5) / pixels_per_unit)[None, :]
    y = ((np.arange(size_px[1]) + 0.5) / pixels_per_unit)[:, None]
    heights = np.zeros((size_px[1], size_px[0]))
    for dome in domes:
        share = np.minimum(np.hypot(x - dome.x, y - dome.y) / dome.radius, 1)
        heights = np.maximum(heights, 1 - share**STEEPNESS)
    return np.asarray(np.round(heights * 255), dtype=np.uint8)
