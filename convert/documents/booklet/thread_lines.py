"""The thread in a drawing: a line that runs through beads and bends round between them, with a needle's point."""

from itertools import pairwise
from typing import NamedTuple

from convert.chart.shapes import Mark, Paint, Path, Point

THREAD = "#b3261e"
_STEPS = 10


class Pass(NamedTuple):
    """The thread through one bead."""

    x: float
    y: float
    """Its middle, in mm."""
    direction: int
    """1 to the right, -1 to the left."""


def thread_line(passes: list[Pass], *, length_mm: float, bend_mm: float) -> tuple[Point, ...]:
    """Return the points of a thread through beads, one after the other.

    Parameters
    ----------
    passes
        In their order.
    length_mm
        Of a bead; the thread leaves it a little before its end, so that steps up and down are seen.
    bend_mm
        How far it swings out where it turns back.
    """
    half = 0.4 * length_mm
    points: list[Point] = []
    for before, here in pairwise(passes):
        start, end = (before.x + before.direction * half, before.y), (here.x - here.direction * half, here.y)
        reach = bend_mm if before.direction != here.direction else 0.3 * abs(end[0] - start[0]) + 0.1 * length_mm
        points += [(before.x - before.direction * half, before.y)] if not points else []
        points += _curve(
            start, (start[0] + before.direction * reach, start[1]), (end[0] - here.direction * reach, end[1]), end
        )
    last = passes[-1]
    return (*points, (last.x + last.direction * half, last.y))


def _curve(a: Point, b: Point, c: Point, d: Point) -> list[Point]:
    """Return points of a cubic Bézier curve."""
    points = []
    for step in range(_STEPS + 1):
        t = step / _STEPS
        u = 1 - t
        weights = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        points.append(tuple(sum(w * p[axis] for w, p in zip(weights, (a, b, c, d), strict=True)) for axis in (0, 1)))
    return [(x, y) for x, y in points]


def drawn_thread(points: tuple[Point, ...], width_mm: float, colour: str = THREAD) -> tuple[Mark, ...]:
    """Draw a thread, edged with white so that it stands out from beads."""
    return (
        Path(points, closed=False, paint=Paint(None, "#ffffff", 2.2 * width_mm)),
        Path(points, closed=False, paint=Paint(None, colour, width_mm)),
    )


def needle(at: Point, direction: int, size_mm: float, colour: str = THREAD) -> tuple[Mark, ...]:
    """Draw the point of an arrow that goes on from a place, to the right (1) or left (-1)."""
    x, y = at
    tip = x + direction * size_mm
    head = ((tip, y), (x, y - 0.42 * size_mm), (x, y + 0.42 * size_mm))
    return (Path(head, closed=True, paint=Paint(colour, "#ffffff", 0.08 * size_mm)),)
