"""A small work of true proportions to draw lessons on, turned as the design is, and the thread through it."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from itertools import pairwise
from math import pi, sin
from typing import NamedTuple

from convert.chart.choices import Ink
from convert.chart.figures import draw_figures
from convert.chart.shapes import Extent, Mark, Oval, Paint, Path, Point, Rectangle, Text, extent_of, union
from shared.beads import BeadSize
from shared.grid import Grid

OLD, EDGE = "#ffffff", "#3c474f"
"""Fill of beads of earlier rows, and outline of all."""

GROUPS = {True: 5, False: 6}
"""How many stitches wide the small work is, for an odd count and an even one."""

_PAD = 0.4
_CURVE_STEPS = 10


class Tones(NamedTuple):
    """The colours of a drawing, and the words for them."""

    strung: str
    new: str
    thread: str
    strung_word: str
    new_word: str


TONES: dict[Ink, Tones] = {
    "colour": Tones("#e3e7ea", "#f2c14e", "#b3261e", "grey", "yellow"),
    "black": Tones("#e4e4e4", "#a8a8a8", "#000000", "pale grey", "dark grey"),
}


class Drawing(NamedTuple):
    """Shapes with what they show."""

    marks: tuple[Mark, ...]
    extent: Extent
    alt: str


class Pass(NamedTuple):
    """The thread through one bead."""

    x: float
    y: float
    """Its middle, in mm."""
    direction: int
    """1 to the right, -1 to the left."""


@dataclass(frozen=True)
class SmallWork:
    """A small work to draw on.

    Parameters
    ----------
    grid
        Its lattice: hand, start and drop are those of the design.
    """

    grid: Grid
    bead: BeadSize
    tones: Tones

    @property
    def outward(self) -> int:
        """The x direction away from the work on the tail side."""
        return -1 if self.grid.hand == "right" else 1

    @property
    def onward(self) -> int:
        """The y direction in which the work grows."""
        return 1 if self.grid.start == "top" else -1

    def at(self, row: int, column: int) -> Point:
        """Return the centre of a bead, of which the lattice need not have one."""
        across = column if self.grid.hand == "right" else self.grid.columns + 1 - column
        down = row if self.grid.start == "top" else self.grid.rows + 1 - row
        return (across - 0.5) * self.bead.length_mm, down * self.bead.diameter_mm / 2

    def draw_bead(self, at: Point, fill: str) -> Mark:
        """Draw one bead."""
        length, diameter = self.bead.length_mm, self.bead.diameter_mm
        paint = Paint(fill, EDGE, 0.06 * diameter)
        if self.bead.shape == "round":
            return Oval(at[0], at[1], length / 2 * 0.96, diameter / 2 * 0.96, paint)
        inset = 0.03 * diameter
        box = (at[0] - length / 2 + inset, at[1] - diameter / 2 + inset, length - 2 * inset, diameter - 2 * inset)
        return Rectangle(*box, 0.16 * diameter, paint)

    def draw_rows(self, rows: Collection[int], fill: Callable[[int, int], str]) -> tuple[Mark, ...]:
        """Draw some rows, each bead filled by its row and column."""
        held = zip(self.grid.row_of.tolist(), self.grid.column_of.tolist(), strict=True)
        return tuple(self.draw_bead(self.at(row, column), fill(row, column)) for row, column in held if row in rows)

    def passes(self, steps: list[tuple[int, int]], directions: list[int]) -> list[Pass]:
        """Return the thread through beads given as row and column; a direction of 1 leads away from the tail.

        Passes through the same bead lie side by side.
        """
        seen: dict[tuple[int, int], int] = {}
        found = []
        for step, direction in zip(steps, directions, strict=True):
            before = seen.get(step, 0)
            seen[step] = before + 1
            x, y = self.at(*step)
            aside = self.onward * (0.14 + 0.2 * before) * self.bead.diameter_mm
            found.append(Pass(x, y + aside, -self.outward * direction))
        return found

    def draw_passes(self, passes: list[Pass], *, pointed: bool = True) -> tuple[Mark, ...]:
        """Draw the thread through beads, with a needle's point at its end."""
        length = self.bead.length_mm
        points = thread_line(passes, length_mm=length, bend_mm=1.1 * length)
        last = passes[-1]
        end = (last.x + last.direction * 0.62 * length, last.y)
        return (
            (*self.draw_thread((*points, end)), *self.draw_needle(end, last.direction))
            if pointed
            else (self.draw_thread(points))
        )

    def draw_thread(self, points: tuple[Point, ...]) -> tuple[Mark, ...]:
        """Draw a thread, edged with white so that it stands out from beads."""
        width_mm = 0.1 * self.bead.diameter_mm
        return tuple(
            Path(points, closed=False, paint=Paint(None, colour, width))
            for colour, width in (("#ffffff", 2.2 * width_mm), (self.tones.thread, width_mm))
        )

    def draw_needle(self, at: Point, direction: int) -> tuple[Mark, ...]:
        """Draw a needle's point that goes on from a place, to the right (1) or left (-1)."""
        return (arrow_head(at, (direction, 0), 0.5 * self.bead.length_mm, self.tones.thread),)

    def draw_tail(self, at: Point) -> tuple[Mark, ...]:
        """Draw the loose end that leaves the work on the tail side."""
        d, length = self.bead.diameter_mm, self.bead.length_mm
        start = at[0] + self.outward * 0.4 * length
        points = [(start + self.outward * 2.6 * d * s / 16, at[1] + 0.25 * d * sin(2 * pi * s / 16)) for s in range(17)]
        return self.draw_thread(tuple(points))

    def draw_number(self, at: Point, number: int, size: float = 0.7) -> tuple[Mark, ...]:
        """Draw a number in a disc, its size in lengths of a bead."""
        size_mm = size * self.bead.length_mm
        disc = Oval(at[0], at[1], 0.62 * size_mm, 0.62 * size_mm, Paint(EDGE, "#ffffff", 0.08 * size_mm))
        text = Text(at[0], at[1] + 0.26 * size_mm, str(number), 0.75 * size_mm, "#ffffff", "middle", bold=True)
        return disc, text


def small_work(grid: Grid, bead: BeadSize, tones: Tones, *, rows: int, odd: bool) -> SmallWork:
    """Return a small work that is turned as a design is, of an odd count or an even one."""
    return SmallWork(Grid(GROUPS[odd] * grid.drop, rows, grid.hand, grid.start, grid.drop), bead, tones)


def thread_line(passes: list[Pass], *, length_mm: float, bend_mm: float) -> tuple[Point, ...]:
    """Return the points of a thread through beads, one after the other.

    Parameters
    ----------
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
    for step in range(_CURVE_STEPS + 1):
        t = step / _CURVE_STEPS
        u = 1 - t
        weights = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        x, y = (sum(w * p[axis] for w, p in zip(weights, (a, b, c, d), strict=True)) for axis in (0, 1))
        points.append((x, y))
    return points


def arrow_head(at: Point, direction: tuple[int, int], size_mm: float, colour: str) -> Mark:
    """Draw the head of an arrow that goes on from a place, in a direction along one axis."""
    (x, y), (dx, dy) = at, direction
    tip, half = (x + dx * size_mm, y + dy * size_mm), 0.42 * size_mm
    head = (tip, (x + dy * half, y - dx * half), (x - dy * half, y + dx * half))
    return Path(head, closed=True, paint=Paint(colour, "#ffffff", 0.08 * size_mm))


def frame(marks: tuple[Mark, ...], alt: str) -> Drawing:
    """Return shapes as a drawing with some room around; figures are drawn as strokes, so none is copied as text."""
    ready = draw_figures(marks)
    box = union(extent_of(mark) for mark in ready)
    room = Extent(box.left - _PAD, box.top - _PAD, box.right + _PAD, box.bottom + _PAD)
    return Drawing(ready, room, alt)
