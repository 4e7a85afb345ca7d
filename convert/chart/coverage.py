"""Small pictures of shapes: how much of each pixel a shape covers, drawn finer and averaged."""

from dataclasses import dataclass, replace
from functools import partial
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray

from convert.chart.shapes import Extent, Mark, Oval, Paint, Path, Point, Rectangle, Text, extent_of
from shared.colour import codes_from_hex
from shared.typeface import Lettering

Bytes = NDArray[np.uint8]

FINER = 4
"""Samples per pixel along each axis."""


@dataclass(frozen=True, slots=True)
class PixelWindow:
    """A window of whole pixels on the drawing.

    Parameters
    ----------
    left, top
        Its upper left corner, in pixels of the drawing; quarters are kept.
    px_per_mm
        The scale of the drawing, whose origin is that of the shapes.
    """

    left: float
    top: float
    width: int
    height: int
    px_per_mm: float

    def length(self, mm: float) -> float:
        """Return a length in samples."""
        return mm * self.px_per_mm * FINER

    def point(self, x: float, y: float) -> tuple[float, float]:
        """Return a place in samples from the corner of the window."""
        return (x * self.px_per_mm - self.left) * FINER, (y * self.px_per_mm - self.top) * FINER

    def places(self, points: tuple[Point, ...]) -> NDArray[np.float64]:
        """Return many places at once, shape (points, 2)."""
        corner = np.array([self.left, self.top], dtype=np.float64) * FINER
        flat = np.fromiter(chain.from_iterable(points), np.float64, 2 * len(points))
        return flat.reshape(-1, 2) * (self.px_per_mm * FINER) - corner


def coverage(mark: Mark, frame: PixelWindow, lettering: Lettering) -> list[tuple[str, Bytes]]:
    """Return what a shape lays on a window, fill first: a colour and how much of each pixel it covers.

    Returns
    -------
    list
        Colour as ``#rrggbb`` and coverage 0 … 255, shape (height, width).
    """
    if isinstance(mark, Text):
        return [(mark.colour, _sample(frame, partial(_draw_text, mark, frame, lettering)))]
    layers: list[tuple[str, Bytes]] = []
    if mark.paint.fill is not None:
        layers.append((mark.paint.fill, _sample(frame, partial(_draw_shape, mark, frame, stroke=False))))
    if mark.paint.stroke is not None:
        layers.append((mark.paint.stroke, _sample(frame, partial(_draw_shape, mark, frame, stroke=True))))
    return layers


def pixels_of(extent: Extent, px_per_mm: float) -> tuple[int, int, int, int]:
    """Return left, top, width, height in whole pixels of a window that holds an extent."""
    left, top = (int(np.floor(value * px_per_mm)) - 1 for value in (extent.left, extent.top))
    right, bottom = (int(np.ceil(value * px_per_mm)) + 1 for value in (extent.right, extent.bottom))
    return left, top, right - left, bottom - top


def lay_over(below: Bytes, above: Bytes, cover: Bytes) -> Bytes:
    """Return colours laid over others; ``cover``, 0 … 255, says how much of each pixel they cover."""
    mixed = above.astype(np.uint16) * cover + below * (255 - cover).astype(np.uint16)
    return ((mixed + 127) // 255).astype(np.uint8)


def rgba(colour: str) -> Bytes:
    """Return ``#rrggbb`` as four codes, opaque."""
    return np.append(codes_from_hex(colour), np.uint8(255))


def _sample(frame: PixelWindow, draw: Any) -> Bytes:
    from PIL import Image, ImageDraw

    fine = Image.new("L", (frame.width * FINER, frame.height * FINER))
    draw(ImageDraw.Draw(fine))
    return np.asarray(fine.reduce(FINER))


def _draw_shape(mark: Rectangle | Oval | Path, frame: PixelWindow, pen: Any, *, stroke: bool) -> None:
    if isinstance(mark, Path):
        _draw_path(mark, frame, pen, stroke=stroke)
        return
    half, inner = mark.paint.width_mm / 2, extent_of(replace(mark, paint=Paint()))
    for grown, value in ((half, 255), (-half, 0)) if stroke else ((0.0, 255),):
        corners = _corners(frame, inner.left - grown, inner.top - grown, inner.right + grown, inner.bottom + grown)
        if corners is None:
            continue
        if isinstance(mark, Oval):
            pen.ellipse(corners, fill=value)
        else:
            pen.rounded_rectangle(corners, max(0.0, frame.length(mark.radius + grown)), fill=value)


def _corners(frame: PixelWindow, left: float, top: float, right: float, bottom: float) -> list[float] | None:
    """Return the corners in samples, the last ones inside; None when nothing is left between them."""
    (x0, y0), (x1, y1) = frame.point(left, top), frame.point(right, bottom)
    corners = [round(x0), round(y0), round(x1) - 1, round(y1) - 1]
    return [float(c) for c in corners] if corners[2] >= corners[0] and corners[3] >= corners[1] else None


def _draw_path(path: Path, frame: PixelWindow, pen: Any, *, stroke: bool) -> None:
    points = frame.places(path.points)
    if not stroke:
        pen.polygon(points.ravel().tolist(), fill=255)
        return
    if path.closed:
        points = np.concatenate([points, points[:2]])
    width = max(1, round(frame.length(path.paint.width_mm)))
    level_or_upright = (points[1:] == points[:-1]).any(axis=1).all()
    if width > 4 and level_or_upright:
        _draw_steps(points, width, pen)
    else:
        pen.line(points.ravel().tolist(), fill=255, width=width, joint="curve")


def _draw_steps(points: NDArray[np.float64], width: int, pen: Any) -> None:
    """Draw level and upright lines with square corners; Pillow's own joints are round, and slow."""
    starts, ends = points[:-1], points[1:]
    least = np.rint(np.minimum(starts, ends) - width / 2).astype(np.int64)
    most = np.rint(np.maximum(starts, ends) - width / 2).astype(np.int64) + width - 1
    for box in np.concatenate([least, most], axis=1).tolist():
        pen.rectangle(box, fill=255)


def _draw_text(text: Text, frame: PixelWindow, lettering: Lettering, pen: Any) -> None:
    font = lettering.font(max(1, round(frame.length(text.size_mm))), bold=text.bold)
    anchor = {"start": "ls", "middle": "ms", "end": "rs"}[text.anchor]
    pen.text(frame.point(text.x, text.y), text.text, fill=255, font=font, anchor=anchor)
