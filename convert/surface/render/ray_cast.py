"""Which bead is seen where: a ray through every pixel, the nearest solid kept."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from convert.surface.render.camera import Camera, reach_mm
from convert.surface.render.solids import Solids
from shared.arrays import Floats, Floats32, Ints

SAMPLES = 300_000
"""Rays tried at a time: few enough to stay in the cache."""

HAIR = 0.01
"""Rays are tried this far beyond a solid, in pixels, against rounding."""

_NUMBER_BITS = 21
_DEPTH_STEPS = 2**40


@dataclass(frozen=True, eq=False, slots=True)
class Seen:
    """What each pixel shows.

    Parameters
    ----------
    solid
        Its number, -1 where there is none, shape (height, width).
    near_mm
        How far towards the eye, shape (height, width); minus infinity where there is none.
    """

    solid: Ints
    near_mm: Floats


def cast_rays(solids: Solids, camera: Camera) -> Seen:
    """Find the solid that each pixel shows.

    A ray at offset (x, y) from a centre meets the solid where |p|² + m s² = radius², with s = p · axis and
    m = swell · radius² - 1; on the cut ends where |s| is half the length.
    """
    places = np.asarray(camera.project(solids.centres_mm).T, dtype=np.float64)
    axes = solids.axes @ camera.axes.T
    margin = np.hypot(solids.shapes[:, 0], solids.shapes[:, 1]).max(initial=0) + 1e-6
    far = places[:, 2].min(initial=0) - margin
    unit = _DEPTH_STEPS / (places[:, 2].max(initial=0) + margin - far)
    best = np.full(camera.width * camera.height, -1, dtype=np.int64)
    for members in _chunks(solids, axes, camera.scale):
        pixel, near, number = _met(solids.shapes[members], places[members], axes[members], camera)
        # Depth above, number below: so one maximum keeps the nearest, and of two as near always the same.
        key = ((near - far) * unit).astype(np.int64) << _NUMBER_BITS | members[number]
        np.maximum.at(best, pixel, key)
    found = best.reshape(camera.height, camera.width)
    hit = found >= 0
    near_mm = np.where(hit, (found >> _NUMBER_BITS) / unit + far, -np.inf)
    return Seen(np.where(hit, found & (2**_NUMBER_BITS - 1), -1), near_mm)


def _chunks(solids: Solids, axes: Floats, scale: float) -> Iterator[Ints]:
    """Yield the solids in groups of one shape, as many as make a handful of rays."""
    reach = reach_mm(solids.shapes, axes) * scale
    left = np.arange(len(solids.shapes))
    while left.size:
        alike = (solids.shapes[left] == solids.shapes[left[0]]).all(axis=1)
        members, left = left[alike], left[~alike]
        rays = np.prod(2 * reach[members].max(axis=0) + 1)
        step = max(1, int(SAMPLES / rays))
        for first in range(0, members.size, step):
            yield members[first : first + step]


def _met(shapes: Floats, places: Floats, axes: Floats, camera: Camera) -> tuple[Ints, Floats, Ints]:
    """Return pixel, depth and place in the chunk of every meeting of a ray with a solid of one shape."""
    reach = reach_mm(shapes, axes).max(axis=0) * camera.scale + HAIR
    corner = np.ceil(places[:, :2] - reach - 0.5).astype(np.int64)
    column = corner[:, :1] + np.arange(int(2 * reach[0]) + 1)
    row = corner[:, 1:] + np.arange(int(2 * reach[1]) + 1)
    x = ((column + 0.5 - places[:, :1]) / camera.scale).astype(np.float32)[:, None, :]
    y = ((places[:, 1:2] - row - 0.5) / camera.scale).astype(np.float32)[:, :, None]
    depth = _depth(x, y, axes.astype(np.float32)[:, :, None, None], shapes[0].astype(np.float32))
    inside_x = (column >= 0) & (column < camera.width)
    inside_y = (row >= 0) & (row < camera.height)
    number, down, across = np.nonzero((depth > -np.inf) & inside_x[:, None, :] & inside_y[:, :, None])
    pixel = row[number, down] * camera.width + column[number, across]
    return pixel, depth[number, down, across] + places[number, 2], number


def _depth(x: Floats32, y: Floats32, axes: Floats32, shape: Floats32) -> Floats32:
    """Return how far before its centre each solid is met, minus infinity where it is not, shape (solids, down, across).

    Parameters
    ----------
    x, y
        Offsets from the centre, shape (solids, 1, across) and (solids, down, 1), mm.
    axes
        Along the camera's, shape (solids, 3, 1, 1).
    shape
        The four figures of `BeadSolid`.
    """
    half, radius, swell, _ = shape
    ax, ay, az = axes[:, 0], axes[:, 1], axes[:, 2]
    m = swell * radius**2 - 1
    s0 = x * ax + y * ay
    q = x**2 + y**2
    # A ray along the hole of a cylinder never meets its side: the quadratic is kept from losing its square.
    A = np.maximum(1 + m * az**2, np.float32(1e-6))  # noqa: N806 - the terms of a quadratic
    B = m * s0 * az  # noqa: N806
    square = B**2 - A * (q + m * s0**2 - radius**2)
    side = (np.sqrt(np.maximum(square, 0)) - B) / A
    on_side = (square >= 0) & (np.abs(s0 + az * side) <= half)
    # Seen square on an end is a line; a hair of tilt keeps the division finite.
    tilt = np.where(np.abs(az) < 1e-6, np.float32(1e-6), az)
    end = (np.sign(tilt) * half - s0) / tilt
    on_end = q + end**2 - half**2 <= radius**2 * (1 - swell * half**2)
    return np.where(on_side, side, np.where(on_end, end, np.float32(-np.inf)))
