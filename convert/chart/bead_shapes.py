"""How one bead of each kind is drawn about the centre of its slot.

A slot is the room of a flat bead in flat work: length x diameter. A bead of the flat size fills it. A
larger one at its full measure would hide its neighbours, so it keeps its own proportion, and its area
grows evenly with the level up to `LARGEST_AREA` slots: it bulges, yet every bead can be counted.
"""

from dataclasses import dataclass
from math import pi, sqrt

from convert.chart.choices import Ink
from convert.chart.figures import DIGIT_HEIGHT
from convert.chart.inks import DARK, LIGHT, choose_ink, outline_of
from convert.chart.shapes import Mark, Oval, Paint, Rectangle, Text, move_all
from convert.chart.symbols import symbol
from shared.beads import BeadSizes
from shared.design import Bead, Design
from shared.typeface import text_width

LARGEST_AREA = 1.2
"""Area of a bead of the highest level, in slots."""

SMALLEST_RAISED_AREA = 0.92
"""Area of a bead of the first raised level, in slots: a round one bulges already, for it leaves the corners free."""


@dataclass(frozen=True, slots=True)
class BeadDrawing:
    """How the beads of one kind are drawn.

    Parameters
    ----------
    label
        Kind, size and name, for people who hear the chart.
    level
        The place of its size among the bead sizes; higher ones lie on top.
    marks
        Shapes about the centre of the slot.
    """

    kind: str
    label: str
    level: int
    marks: tuple[Mark, ...]


def draw_beads(design: Design, ink: Ink) -> tuple[BeadDrawing, ...]:
    """Return the drawing of every entry of ``design.beads``, in that order.

    Raises
    ------
    BadChoiceError
        In black ink, when there are more kinds than symbols for them.
    """
    return tuple(_draw_kind(bead, place, design.bead_sizes, ink) for place, bead in enumerate(design.beads))


def drawn_size_mm(bead_sizes: BeadSizes, level: int) -> tuple[float, float]:
    """Return length and diameter at which beads of a level are drawn, in mm."""
    flat, size = bead_sizes.flat, bead_sizes.sizes[level]
    if level == 0:
        return flat.length_mm, flat.diameter_mm
    part = (level - 1) / max(len(bead_sizes.sizes) - 2, 1) if len(bead_sizes.sizes) > 2 else 1.0
    slots = SMALLEST_RAISED_AREA + (LARGEST_AREA - SMALLEST_RAISED_AREA) * part
    filled = pi / 4 if size.shape == "round" else 1.0
    area = slots * flat.length_mm * flat.diameter_mm / filled
    length = sqrt(area * size.length_mm / size.diameter_mm)
    # Own bead sizes may have odd proportions: a bead never reaches so far over its slot that it touches the next but
    # one, for then neither could be counted.
    shrink = min(1.0, 1.5 * flat.length_mm / length, 1.5 * flat.diameter_mm / (area / length))
    return length * shrink, area / length * shrink


def _draw_kind(bead: Bead, place: int, bead_sizes: BeadSizes, ink: Ink) -> BeadDrawing:
    level = bead_sizes.level_of[bead.size]
    marks = _in_colour(bead.srgb, bead_sizes, level) if ink == "colour" else _in_black(place, bead_sizes, level)
    return BeadDrawing(bead.kind, f"{bead.kind}: {bead.size} {bead.name}", level, marks)


def _in_colour(srgb: str, bead_sizes: BeadSizes, level: int) -> tuple[Mark, ...]:
    line = (0.055 if level == 0 else 0.085) * _fineness(bead_sizes)
    outline = outline_of(srgb, 0.45 if level == 0 else 0.75)
    body = _body(bead_sizes, level, Paint(srgb, outline, line))
    return (body, *_size_number(bead_sizes, level, choose_ink(srgb)))


def _in_black(place: int, bead_sizes: BeadSizes, level: int) -> tuple[Mark, ...]:
    line = (0.05 + 0.04 * min(level, 3)) * _fineness(bead_sizes)
    body = _body(bead_sizes, level, Paint(LIGHT, DARK, line))
    radius = (0.36 if level == 0 else 0.32) * _fineness(bead_sizes)
    return (body, *move_all(symbol(place), 0.0, 0.0, radius))


def _body(bead_sizes: BeadSizes, level: int, paint: Paint) -> Mark:
    length, diameter = drawn_size_mm(bead_sizes, level)
    inset = paint.width_mm / 2 if level == 0 else 0.0
    rx, ry = length / 2 - inset, diameter / 2 - inset
    if bead_sizes.sizes[level].shape == "round":
        return Oval(0.0, 0.0, rx, ry, paint)
    return Rectangle(-rx, -ry, 2 * rx, 2 * ry, 0.3 * min(rx, ry), paint)


def _fineness(bead_sizes: BeadSizes) -> float:
    """Return the shorter side of a slot, which lines and symbols are measured by."""
    return min(bead_sizes.flat.length_mm, bead_sizes.flat.diameter_mm)


def _size_number(bead_sizes: BeadSizes, level: int, colour: str) -> tuple[Mark, ...]:
    """Print the size number in the middle, where the bead two rows on, which may lie over the edge, leaves it clear."""
    mark = bead_sizes.marks[level]
    if not mark:
        return ()
    length, _ = drawn_size_mm(bead_sizes, level)
    height = 0.6 * bead_sizes.flat.diameter_mm
    size = min(height, 0.8 * length / text_width(mark, 1.0, bold=True))
    return (Text(0.0, size * DIGIT_HEIGHT / 2, mark, size, colour, "middle", bold=True),)
