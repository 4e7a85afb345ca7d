"""Drawings of how flat peyote is stitched: a small work of true proportions, turned as the design is."""

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from math import pi, sin
from typing import NamedTuple

from convert.chart.choices import Ink
from convert.chart.lettering import draw_figures
from convert.chart.shapes import Box, Extent, Mark, Oval, Paint, Point, Text, extent_of, union
from convert.documents.booklet.thread_lines import THREAD, Pass, drawn_thread, needle, thread_line
from shared.beads import BeadSize
from shared.grid import Grid

OLD, EDGE = "#ffffff", "#3c474f"
"""Fill of beads of earlier rows, and outline of all."""

GROUPS = {True: 5, False: 6}
"""How many stitches wide the small work is, for an odd count and an even one."""

_PAD = 0.4


class Tones(NamedTuple):
    """The colours of a drawing, and the words for them."""

    strand: str
    new: str
    thread: str
    strand_word: str
    new_word: str


TONES: dict[Ink, Tones] = {
    "colour": Tones("#e3e7ea", "#f2c14e", THREAD, "grey", "yellow"),
    "black": Tones("#e4e4e4", "#a8a8a8", "#000000", "pale grey", "dark grey"),
}


STRAND, NEW = TONES["colour"].strand, TONES["colour"].new


class Drawing(NamedTuple):
    """Shapes with what they show."""

    marks: tuple[Mark, ...]
    extent: Extent
    alt: str


@dataclass(frozen=True)
class Bench:
    """A small work to draw on.

    Parameters
    ----------
    grid
        Its lattice: hand, start and drop are those of the design.
    bead
        The size that all of it has.
    """

    grid: Grid
    bead: BeadSize

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

    def shape(self, at: Point, fill: str) -> Mark:
        """Draw one bead."""
        length, diameter = self.bead.length_mm, self.bead.diameter_mm
        paint = Paint(fill, EDGE, 0.06 * diameter)
        if self.bead.shape == "round":
            return Oval(at[0], at[1], length / 2 * 0.96, diameter / 2 * 0.96, paint)
        inset = 0.03 * diameter
        box = (at[0] - length / 2 + inset, at[1] - diameter / 2 + inset, length - 2 * inset, diameter - 2 * inset)
        return Box(*box, 0.16 * diameter, paint)

    def beads(self, rows: Collection[int], fill: Callable[[int, int], str]) -> tuple[Mark, ...]:
        """Draw some rows."""
        held = zip(self.grid.row_of.tolist(), self.grid.column_of.tolist(), strict=True)
        return tuple(self.shape(self.at(row, column), fill(row, column)) for row, column in held if row in rows)

    def passes(self, steps: list[tuple[int, int]], directions: list[int]) -> list[Pass]:
        """Return the thread through beads given as row and column; a way of 1 leads away from the tail.

        Passes through the same bead lie side by side.
        """
        seen: dict[tuple[int, int], int] = {}
        found = []
        for step, direction in zip(steps, directions, strict=True):
            turn = seen.get(step, 0)
            seen[step] = turn + 1
            x, y = self.at(*step)
            found.append(
                Pass(x, y + self.onward * (0.14 + 0.2 * turn) * self.bead.diameter_mm, -self.outward * direction)
            )
        return found

    def thread(self, passes: list[Pass], *, pointed: bool = True) -> tuple[Mark, ...]:
        """Draw the thread through beads."""
        length, width = self.bead.length_mm, 0.1 * self.bead.diameter_mm
        points = thread_line(passes, length_mm=length, bend_mm=1.1 * length)
        last = passes[-1]
        end = (last.x + last.direction * 0.62 * length, last.y)
        if not pointed:
            return drawn_thread(points, width)
        return (*drawn_thread((*points, end), width), *needle(end, last.direction, 0.5 * length))

    def tail(self, at: Point) -> tuple[Mark, ...]:
        """Draw the loose end that leaves the work on the tail side."""
        d, length = self.bead.diameter_mm, self.bead.length_mm
        start = at[0] + self.outward * 0.4 * length
        points = [(start + self.outward * 2.6 * d * s / 16, at[1] + 0.25 * d * sin(2 * pi * s / 16)) for s in range(17)]
        return drawn_thread(tuple(points), 0.1 * d)


def toned(drawing: Drawing, ink: Ink) -> Drawing:
    """Return a drawing in the colours of an ink; it is made in those of ``"colour"``."""
    own, wanted = TONES["colour"], TONES[ink]
    change = dict(zip(own[:3], wanted[:3], strict=True))
    return drawing._replace(marks=tuple(_changed(mark, change) for mark in drawing.marks))


def _changed(mark: Mark, change: dict[str, str]) -> Mark:
    if isinstance(mark, Text):
        return mark
    fill, stroke = (None if c is None else change.get(c, c) for c in (mark.paint.fill, mark.paint.stroke))
    return replace(mark, paint=Paint(fill, stroke, mark.paint.width_mm))


def finished(marks: tuple[Mark, ...], alt: str) -> Drawing:
    """Return shapes as a drawing with some room around; figures are drawn as strokes."""
    ready = draw_figures(marks)
    box = union(extent_of(mark) for mark in ready)
    room = Extent(box.left - _PAD, box.top - _PAD, box.right + _PAD, box.bottom + _PAD)
    return Drawing(ready, room, alt)


def numbered(at: Point, number: int, size_mm: float) -> tuple[Mark, ...]:
    """Draw a number in a disc."""
    disc = Oval(at[0], at[1], 0.62 * size_mm, 0.62 * size_mm, Paint(EDGE, "#ffffff", 0.08 * size_mm))
    text = Text(at[0], at[1] + 0.26 * size_mm, str(number), 0.75 * size_mm, "#ffffff", "middle", bold=True)
    return disc, text
