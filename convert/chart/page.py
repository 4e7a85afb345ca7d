"""The page of a chart: heading above the work, legend, scale bars and notes next to it or below."""

from dataclasses import dataclass
from math import hypot, log, sqrt

from convert.chart.bead_shapes import BeadDrawing
from convert.chart.choices import Ink
from convert.chart.inks import INKS, Inks
from convert.chart.legend import LegendMeasures, draw_legend, measure_legend
from convert.chart.shapes import Block, Extent, Mark, Paint, Rectangle, Text, move_all, union
from shared.design import Design
from shared.plural import counted
from shared.typeface import text_width, wrap

INCH_MM = 25.4

TIMES = "\N{MULTIPLICATION SIGN}"


@dataclass(frozen=True, slots=True)
class Page:
    """Where the page ends, and what stands on it about the work."""

    extent: Extent
    heading: tuple[Mark, ...]
    legend: tuple[Mark, ...]


def arrange_page(design: Design, kinds: tuple[BeadDrawing, ...], work: Extent, ink: Ink, enlargement: float) -> Page:
    """Put heading and legend about the work, whose margins are counted in.

    The legend goes next to the work or below, in as many columns as give the better page.
    """
    text = _text_size(design)
    measures = measure_legend(design, kinds, text)
    feet = [_stack_foot(design, kinds, measures, columns, ink) for columns in measures.choices]
    next_to = [(work.right + 2.5 * text, max(work.top, 0.0), foot) for foot in feet]
    below = [(work.left, work.bottom + 2 * text, foot) for foot in feet]
    x, y, foot = min([*next_to, *below], key=lambda place: _judge(_with(work, *place)))
    body = _with(work, x, y, foot)
    head = _draw_heading(design, body.width, text, enlargement, INKS[ink])
    top = body.top - head.height - text
    margin = 1.5 * text
    extent = Extent(body.left - margin, top - margin, body.right + margin, body.bottom + margin)
    return Page(extent, move_all(head.marks, body.left, top), move_all(foot.marks, x, y))


def _with(work: Extent, x: float, y: float, foot: Block) -> Extent:
    return union([work, Extent(x, y, x + foot.width, y + foot.height)])


def _judge(extent: Extent) -> float:
    """Return how bad a page is: how much it takes, and how unlike a sheet it is, 1 to √2 (ISO 216), either way up.

    Both as logarithms; area weighs more, for a wide margin is no gain.
    """
    longer, shorter = max(extent.width, extent.height), min(extent.width, extent.height)
    return 1.5 * log(longer * shorter) + abs(log(longer / shorter / sqrt(2)))


def _text_size(design: Design) -> float:
    """Return the font size of legend and heading, mm; it grows with large work, which is looked at from farther off."""
    diagonal = hypot(*design.extent_mm)
    return 0.75 * design.bead_sizes.flat.diameter_mm * max(1.0, sqrt(diagonal / 200))


def _stack_foot(
    design: Design, kinds: tuple[BeadDrawing, ...], measures: LegendMeasures, columns: int, ink: Ink
) -> Block:
    """Stack legend, scale bars and notes."""
    inks = INKS[ink]
    text = measures.text
    legend = draw_legend(design, kinds, measures, columns, inks)
    bars = _draw_scale_bars(legend.width - 4 * text, text, inks)
    width = max(legend.width, bars.width)
    words = _draw_notes(design, ink, width, text, inks)
    marks: list[Mark] = []
    y = 0.0
    for block in (legend, bars, words):
        marks += move_all(block.marks, 0.0, y)
        y += block.height + text
    return Block(tuple(marks), width, y - text)


def _draw_heading(design: Design, width: float, text: float, enlargement: float, inks: Inks) -> Block:
    """Set the title, at most three lines of it, and below it what the work measures."""
    marks: list[Mark] = []
    y = 0.0
    for line in wrap(design.title, width, 1.9 * text, bold=True):
        y += 2.3 * text
        marks.append(Text(0.0, y, line, 1.9 * text, inks.text, bold=True))
    y += 0.3 * text
    for fact in _facts(design, enlargement):
        for line in wrap(fact, width, text):
            y += 1.45 * text
            marks.append(Text(0.0, y, line, text, inks.quiet))
    return Block(tuple(marks), width, y + 0.5 * text)


def _facts(design: Design, enlargement: float) -> tuple[str, ...]:
    grid = design.grid
    width, length = design.extent_mm
    flat = "flat" if design.bead_sizes.is_measured("length", "width") else "flat, estimate"
    tail = "left" if grid.hand == "right" else "right"
    return (
        f"{counted(grid.columns, 'column')} {TIMES} {grid.rows:,} rows, {grid.full_name}",
        f"{width:.1f} {TIMES} {length:.1f} mm, {in_inches(width, length)} ({flat})",
        f"tail at the {tail}, row 1 at the {grid.start}; drawn {enlargement:g} : 1",
    )


def in_inches(width_mm: float, length_mm: float) -> str:
    """Write the sides of a work in inches."""
    return f"{width_mm / INCH_MM:.2f} {TIMES} {length_mm / INCH_MM:.2f} in"


def _draw_scale_bars(room: float, text: float, inks: Inks) -> Block:
    """Draw a bar of whole centimetres and one of whole inches of the finished work, as long as the room allows."""
    marks: list[Mark] = [Text(0.0, text, "scale of the finished work", 0.85 * text, inks.quiet)]
    widest = 0.0
    for place, (unit, name) in enumerate(((10.0, "cm"), (INCH_MM, "in"))):
        number = max(n for n in (1, 2, 5, 10) if n == 1 or n * unit <= room)
        y = (2.2 + 1.8 * place) * text
        label = Text(number * unit + 0.5 * text, y + 0.2 * text, f"{number} {name}", text, inks.text)
        marks += [*_draw_bar(number, unit, y, text, inks), label]
        widest = max(widest, label.x + text_width(label.text, text))
    return Block(tuple(marks), widest, 4.8 * text)


def _draw_bar(number: int, unit: float, y: float, text: float, inks: Inks) -> list[Mark]:
    """Draw a line with a tick at each unit; the first unit is halved."""
    thick = 0.1 * text
    ticks = [0.0, 0.5 * unit, *(step * unit for step in range(1, number + 1))]
    marks: list[Mark] = [Rectangle(0.0, y - thick / 2, number * unit, thick, 0.0, Paint(inks.text))]
    for x in ticks:
        tall = (0.35 if x == 0.5 * unit else 0.7) * text
        left = min(max(x - thick / 2, 0.0), number * unit - thick)
        marks.append(Rectangle(left, y - tall, thick, tall, 0.0, Paint(inks.text)))
    return marks


def _draw_notes(design: Design, ink: Ink, room: float, text: float, inks: Inks) -> Block:
    """Say how to read the drawing."""
    marks: list[Mark] = []
    y = 0.0
    for sentence in _how_to_read(design, ink):
        for line in wrap(sentence, room, 0.9 * text, most_lines=6):
            y += 1.3 * text
            marks.append(Text(0.0, y, line, 0.9 * text, inks.quiet))
        y += 0.3 * text
    return Block(tuple(marks), room, y)


def _how_to_read(design: Design, ink: Ink) -> tuple[str, ...]:
    rows = "From row 3 on, a row number stands at the side where the needle begins the row."
    if not design.levels.any():
        return (rows,)
    bulge = "how far it bulges is not to scale."
    if ink == "black":
        return rows, f"A larger bead bulges over its place and has a heavier outline; {bulge}"
    marks = design.bead_sizes.marks[1:]
    return rows, f"A number in a bead is its size ({marks[0]} is {marks[0]}/0); {bulge}"
