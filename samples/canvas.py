"""A drawing surface finer than the finished picture, and how it is reduced and saved.

Axes: x runs right, y runs down, both in the canvas's own unit (pixels or millimetres).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

Floats = NDArray[np.floating]
Bytes = NDArray[np.uint8]
Points = NDArray[np.float64]

FINE = 4
"""How many times finer than the finished picture everything is drawn, along each side."""


def points(*pairs: tuple[float, float]) -> Points:
    """Return an array of shape (n, 2) from x, y pairs."""
    return np.array(pairs, dtype=np.float64)


def smooth(knots: Points, *, closed: bool = False, steps: int = 20) -> Points:
    """Return a Catmull-Rom curve of shape (m, 2) through all knots of shape (n, 2)."""
    ends = (knots[-1:], knots[:2]) if closed else (knots[:1], knots[-1:])
    padded = np.concatenate([ends[0], knots, ends[1]])
    a, b, c, d = padded[:-3], padded[1:-2], padded[2:-1], padded[3:]
    t = np.linspace(0, 1, steps, endpoint=False)[None, :, None]
    a, b, c, d = (knot[:, None, :] for knot in (a, b, c, d))
    curve = b + t / 2 * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))
    return np.concatenate([curve.reshape(-1, 2), padded[-2:-1]])


def arc(centre: tuple[float, float], radii: tuple[float, float], degrees: tuple[float, float]) -> Points:
    """Return points on an ellipse from one angle to another, clockwise from three o'clock."""
    angles = np.radians(np.linspace(*degrees, 60))
    return np.stack([centre[0] + radii[0] * np.cos(angles), centre[1] + radii[1] * np.sin(angles)], axis=1)


def star(centre: tuple[float, float], radii: tuple[float, float], arms: int, turn: float = -90.0) -> Points:
    """Return the outline of a star whose first arm points to `turn` degrees."""
    angles = np.radians(turn + np.arange(2 * arms) * 180 / arms)
    reach = np.where(np.arange(2 * arms) % 2 == 0, *radii)
    return np.stack([centre[0] + reach * np.cos(angles), centre[1] + reach * np.sin(angles)], axis=1)


class Canvas:
    """Flat shapes painted one over the other at `FINE` times the finished size."""

    def __init__(self, size_px: tuple[int, int], ground: str, *, pixels_per_unit: float = 1.0) -> None:
        self.image = Image.new("RGB", (size_px[0] * FINE, size_px[1] * FINE), ground)
        self._draw = ImageDraw.Draw(self.image)
        self._scale = pixels_per_unit * FINE

    def area(self, outline: Points, colour: str) -> None:
        """Fill the inside of an outline of shape (n, 2)."""
        self._draw.polygon([(x, y) for x, y in outline * self._scale], fill=colour)

    def disc(self, centre: tuple[float, float], radius: float, colour: str) -> None:
        """Fill a disc."""
        # An outline keeps fractions of a fine pixel, which the library's own ellipse drops.
        self.area(arc(centre, (radius, radius), (0, 360)), colour)

    def stroke(self, path: Points, width: float, colour: str, *, taper: bool = False) -> None:
        """Draw a round-ended line, if wished thinning to a third at both ends as a pen's does."""
        swell = np.sin(np.linspace(0, np.pi, len(path))) if taper else np.ones(len(path))
        halves = width / 2 * (1 / 3 + 2 / 3 * np.sqrt(np.maximum(swell, 0)))
        for (x, y), half in zip(path, halves, strict=True):
            self.disc((x, y), half, colour)
        for start, end, half in zip(path[:-1], path[1:], halves[:-1], strict=True):
            along = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
            side = half * np.array([-along[1], along[0]])
            self.area(np.stack([start + side, end + side, end - side, start - side]), colour)

    def reduced(self) -> Bytes:
        """Return the finished picture, shape (height, width, 3): the mean light of each block."""
        fine = np.asarray(self.image)
        light_of_byte = linear_from_srgb(np.arange(256) / 255)
        light = np.mean([light_of_byte[fine[i::FINE, j::FINE]] for i in range(FINE) for j in range(FINE)], axis=0)
        return np.asarray(np.round(srgb_curve(light) * 255), dtype=np.uint8)


def linear_from_srgb(value: Floats) -> Floats:
    """Return linear light for sRGB values in 0..1 (IEC 61966-2-1)."""
    curve = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    return np.asarray(curve, dtype=np.float32)


def srgb_curve(light: Floats) -> Floats:
    """Return sRGB values in 0..1 for linear light (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    curve = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(curve, dtype=np.float32)


def save(pixels: Bytes, path: Path) -> None:
    """Write a picture of shape (height, width, 3), or a map of shape (height, width), as PNG."""
    Image.fromarray(pixels).save(path, optimize=True)
