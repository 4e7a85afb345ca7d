"""How one bead of each kind is drawn about the centre of its slot.

A slot is the room of a flat bead in flat work: length x diameter. A bead of the flat size fills it. A
larger one at its full measure would hide its neighbours, so it keeps its own proportion, and its area
grows evenly with the level up to `LARGEST_AREA` slots: it bulges, yet every bead can be counted.
"""

from dataclasses import dataclass
from math import pi, sqrt

from convert.chart.inks import DARK, LIGHT, contrasting, luminance, mixed
from convert.chart.lettering import DIGIT_HEIGHT, text_width
from convert.chart.shapes import Box, Mark, Oval, Paint, Text, all_moved
from convert.chart.symbols import symbol
from convert.options import Ink
from shared.beads import BeadSizes
from shared.design import Bead, Design

LARGEST_AREA = 1.2
"""Area of a bead of the highest level, in slots."""

SMALLEST_RAISED_AREA = 0.92
"""Area of a bead of the first raised level, in slots: a round one bulges already, for it leaves the corners free."""

DARKEST_WITH_DARK_OUTLINE = 0.09
"""Luminance under which a bead is outlined in a lighter shade of its colour instead of a darker one."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One entry of a design's beads as it is drawn.

    Parameters
    ----------
    key
        As in the design.
    label
        Key, size and name, for people who hear the chart.
    level
        Its level on the bead sizes; higher ones lie on top.
    marks
        Shapes about the centre of the slot.
    """

    key: str
    label: str
    level: int
    marks: tuple[Mark, ...]


def bead_kinds(design: Design, ink: Ink) -> tuple[Kind, ...]:
    """Return the drawing of every entry of ``design.beads``, in that order.

    Raises
    ------
    BadChoiceError
        In black ink, when there are more keys than signs for them.
    """
    return tuple(_kind(bead, place, design.bead_sizes, ink) for place, bead in enumerate(design.beads))


def drawn_size_mm(bead_sizes: BeadSizes, level: int) -> tuple[float, float]:
    """Return length and diameter at which beads of a level are drawn, in mm."""
    base, size = bead_sizes.flat, bead_sizes.sizes[level]
    if level == 0:
        return base.length_mm, base.diameter_mm
    part = (level - 1) / max(len(bead_sizes.sizes) - 2, 1) if len(bead_sizes.sizes) > 2 else 1.0
    slots = SMALLEST_RAISED_AREA + (LARGEST_AREA - SMALLEST_RAISED_AREA) * part
    filled = pi / 4 if size.shape == "round" else 1.0
    area = slots * base.length_mm * base.diameter_mm / filled
    length = sqrt(area * size.length_mm / size.diameter_mm)
    # A ladder of odd proportions: never so far over the slot that the next bead but one is touched.
    shrink = min(1.0, 1.5 * base.length_mm / length, 1.5 * base.diameter_mm / (area / length))
    return length * shrink, area / length * shrink


def _kind(bead: Bead, place: int, bead_sizes: BeadSizes, ink: Ink) -> Kind:
    level = bead_sizes.level_of[bead.size]
    marks = _in_colour(bead.srgb, bead_sizes, level) if ink == "colour" else _in_black(place, bead_sizes, level)
    return Kind(bead.kind, f"{bead.kind}: {bead.size} {bead.name}", level, marks)


def _in_colour(srgb: str, bead_sizes: BeadSizes, level: int) -> tuple[Mark, ...]:
    line = (0.055 if level == 0 else 0.085) * _fineness(bead_sizes)
    shade = DARK if luminance(srgb) > DARKEST_WITH_DARK_OUTLINE else LIGHT
    outline = mixed(srgb, shade, 0.45 if level == 0 else 0.75)
    body = _body(bead_sizes, level, Paint(srgb, outline, line))
    return (body, *_size_number(bead_sizes, level, contrasting(srgb)))


def _in_black(place: int, bead_sizes: BeadSizes, level: int) -> tuple[Mark, ...]:
    line = (0.05 + 0.04 * min(level, 3)) * _fineness(bead_sizes)
    body = _body(bead_sizes, level, Paint(LIGHT, DARK, line))
    radius = (0.36 if level == 0 else 0.32) * _fineness(bead_sizes)
    return (body, *all_moved(symbol(place), 0.0, 0.0, radius))


def _body(bead_sizes: BeadSizes, level: int, paint: Paint) -> Mark:
    length, diameter = drawn_size_mm(bead_sizes, level)
    inset = paint.width_mm / 2 if level == 0 else 0.0
    rx, ry = length / 2 - inset, diameter / 2 - inset
    if bead_sizes.sizes[level].shape == "round":
        return Oval(0.0, 0.0, rx, ry, paint)
    return Box(-rx, -ry, 2 * rx, 2 * ry, 0.3 * min(rx, ry), paint)


def _fineness(bead_sizes: BeadSizes) -> float:
    """Return the shorter side of a slot, which lines and signs are measured by."""
    return min(bead_sizes.flat.length_mm, bead_sizes.flat.diameter_mm)


def _size_number(bead_sizes: BeadSizes, level: int, colour: str) -> tuple[Mark, ...]:
    """Print the size number so that it stays clear of the bead two rows on, which may lie over the edge."""
    mark = bead_sizes.marks[level]
    if not mark:
        return ()
    length, _ = drawn_size_mm(bead_sizes, level)
    height = 0.6 * bead_sizes.flat.diameter_mm
    size = min(height, 0.8 * length / text_width(mark, 1.0, bold=True))
    return (Text(0.0, size * DIGIT_HEIGHT / 2, mark, size, colour, "middle", bold=True),)
