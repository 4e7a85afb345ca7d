"""A look at solids from afar, by parallel rays."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from convert.surface.render.solids import Solids
from shared.arrays import Floats

Array = NDArray[np.floating]


@dataclass(frozen=True, eq=False, slots=True)
class Camera:
    """A look from afar: parallel rays.

    Parameters
    ----------
    axes
        Rows: to the right, up, and towards the eye, each of length 1, right-handed, shape (3, 3).
    left_mm, top_mm
        Where the upper left corner of the picture lies along the first two.
    scale
        Pixels to one mm.
    width, height
        Of the picture, in pixels.
    """

    axes: Floats
    left_mm: float
    top_mm: float
    scale: float
    width: int
    height: int

    def project(self, points_mm: Array) -> Array:
        """Return where points, shape (points, 3), are seen: pixels right, pixels down, mm towards the eye; (3, points).

        The precision of the points is kept.
        """
        right, up, near = self.axes.astype(points_mm.dtype) @ points_mm.T
        scale = points_mm.dtype.type(self.scale)
        left, top = points_mm.dtype.type(self.left_mm), points_mm.dtype.type(self.top_mm)
        return np.stack([(right - left) * scale, (top - up) * scale, near])

    def across_mm(self, columns: NDArray[np.integer]) -> Floats:
        """Return how far to the right the middles of columns of pixels lie, in mm."""
        return np.asarray(self.left_mm + (columns + 0.5) / self.scale)

    def upward_mm(self, rows: NDArray[np.integer]) -> Floats:
        """Return how far up the middles of rows of pixels lie, in mm."""
        return np.asarray(self.top_mm - (rows + 0.5) / self.scale)


def reach_mm(shapes: Floats, axes: Floats) -> Floats:
    """Return how far each solid reaches from its centre along the first two axes of a camera, shape (solids, 2).

    ``shapes`` as in `Solids`; ``axes`` of the solids along those of the camera, shape (solids, 3).
    """
    along = axes[:, :2]
    return np.asarray(shapes[:, :1] * np.abs(along) + shapes[:, 1:2] * np.sqrt(np.maximum(1 - along**2, 0)))


def extent_mm(axes: Floats, solids: Solids) -> tuple[Floats, Floats]:
    """Return the lower left and upper right corner of all solids along the first two axes of a camera, in mm."""
    places = solids.centres_mm @ axes[:2].T
    reach = reach_mm(solids.shapes, solids.axes @ axes.T)
    return (places - reach).min(axis=0), (places + reach).max(axis=0)


def frame_solids(axes: Floats, solids: Solids, *, scale: float, margin_mm: float) -> Camera:
    """Return a camera with some axes, at a scale in pixels to one mm, on which all of the solids are seen.

    The margin goes round them on each side.
    """
    low, high = extent_mm(axes, solids)
    width, height = np.ceil((high - low + 2 * margin_mm) * scale).astype(int)
    return Camera(axes, float(low[0] - margin_mm), float(high[1] + margin_mm), scale, int(width), int(height))


def camera_axes(towards: Floats, up: Floats) -> Floats:
    """Return the axes of a camera, from the way to the eye and about what is up in the picture, not along the first."""
    towards = towards / np.linalg.norm(towards)
    up = up - (up @ towards) * towards
    up = up / np.linalg.norm(up)
    return np.stack([np.cross(up, towards), up, towards])
