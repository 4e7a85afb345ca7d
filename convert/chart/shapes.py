"""The few shapes that a chart is made of, as values in millimetres: x to the right, y down."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from shared.typeface import text_width

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Paint:
    """How a shape is painted: colours as ``#rrggbb``, None for none; the stroke lies astride the outline."""

    fill: str | None = None
    stroke: str | None = None
    width_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A rectangle by its upper left corner, with rounded corners unless the radius is 0."""

    x: float
    y: float
    width: float
    height: float
    radius: float
    paint: Paint


@dataclass(frozen=True, slots=True)
class Oval:
    """An ellipse by its centre and half-axes."""

    x: float
    y: float
    rx: float
    ry: float
    paint: Paint


@dataclass(frozen=True, slots=True)
class Path:
    """Straight lines from point to point, closed or not."""

    points: tuple[Point, ...]
    closed: bool
    paint: Paint


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; y is its baseline, x where the anchor says."""

    x: float
    y: float
    text: str
    size_mm: float
    colour: str
    anchor: Anchor = "start"
    bold: bool = False


Mark = Rectangle | Oval | Path | Text


class Extent(NamedTuple):
    """A rectangle that holds something, in mm."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """From left to right."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From top to bottom."""
        return self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Block:
    """A finished part of the page with its upper left corner at (0, 0)."""

    marks: tuple[Mark, ...]
    width: float
    height: float


def move(mark: Mark, dx: float, dy: float, scale: float = 1.0) -> Mark:
    """Return the shape enlarged about (0, 0), then moved; line widths are enlarged with it."""
    if isinstance(mark, Text):
        return replace(mark, x=mark.x * scale + dx, y=mark.y * scale + dy, size_mm=mark.size_mm * scale)
    paint = replace(mark.paint, width_mm=mark.paint.width_mm * scale)
    if isinstance(mark, Path):
        points = tuple((x * scale + dx, y * scale + dy) for x, y in mark.points)
        return replace(mark, points=points, paint=paint)
    x, y = mark.x * scale + dx, mark.y * scale + dy
    if isinstance(mark, Rectangle):
        size = {"width": mark.width * scale, "height": mark.height * scale, "radius": mark.radius * scale}
        return replace(mark, x=x, y=y, paint=paint, **size)
    return replace(mark, x=x, y=y, rx=mark.rx * scale, ry=mark.ry * scale, paint=paint)


def move_all(marks: Iterable[Mark], dx: float, dy: float, scale: float = 1.0) -> tuple[Mark, ...]:
    """Return every shape as `move` does."""
    return tuple(move(mark, dx, dy, scale) for mark in marks)


def extent_of(mark: Mark) -> Extent:
    """Return the rectangle that holds a shape with its stroke; for text an estimate on the safe side."""
    if isinstance(mark, Text):
        width = text_width(mark.text, mark.size_mm, bold=mark.bold)
        left = mark.x - {"start": 0.0, "middle": width / 2, "end": width}[mark.anchor]
        return Extent(left, mark.y - mark.size_mm, left + width, mark.y + 0.3 * mark.size_mm)
    if isinstance(mark, Path):
        xs, ys = zip(*mark.points, strict=True)
        inner = Extent(min(xs), min(ys), max(xs), max(ys))
    elif isinstance(mark, Rectangle):
        inner = Extent(mark.x, mark.y, mark.x + mark.width, mark.y + mark.height)
    else:
        inner = Extent(mark.x - mark.rx, mark.y - mark.ry, mark.x + mark.rx, mark.y + mark.ry)
    half = mark.paint.width_mm / 2
    return Extent(inner.left - half, inner.top - half, inner.right + half, inner.bottom + half)


def union(extents: Iterable[Extent]) -> Extent:
    """Return the smallest rectangle that holds them all; there must be one at least."""
    lefts, tops, rights, bottoms = zip(*extents, strict=True)
    return Extent(min(lefts), min(tops), max(rights), max(bottoms))
