"""The head of the page and its foot: title and measures, scale bars, and what the drawing means."""

from convert.chart.inks import Inks
from convert.chart.lettering import text_width, wrap
from convert.chart.shapes import Block, Box, Mark, Paint, Text
from convert.options import Ink
from shared.design import Design

INCH_MM = 25.4

_TIMES = "\N{MULTIPLICATION SIGN}"


def heading(design: Design, width: float, text: float, enlargement: float, inks: Inks) -> Block:
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
    inches = f"{width / INCH_MM:.2f} {_TIMES} {length / INCH_MM:.2f} in"
    columns = "column" if grid.columns == 1 else "columns"
    flat = "flat" if design.bead_sizes.is_measured("length", "width") else "flat, estimate"
    tail = "left" if grid.hand == "right" else "right"
    return (
        f"{grid.columns:,} {columns} {_TIMES} {grid.rows:,} rows, {grid.full_name}",
        f"{width:.1f} {_TIMES} {length:.1f} mm, {inches} ({flat})",
        f"tail at the {tail}, row 1 at the {grid.start}; drawn {enlargement:g} : 1",
    )


def scale_bars(room: float, text: float, inks: Inks) -> Block:
    """Draw a bar of whole centimetres and one of whole inches of the finished work, as long as the room allows."""
    marks: list[Mark] = [Text(0.0, text, "scale of the finished work", 0.85 * text, inks.quiet)]
    widest = 0.0
    for place, (unit, name) in enumerate(((10.0, "cm"), (INCH_MM, "in"))):
        number = max(n for n in (1, 2, 5, 10) if n == 1 or n * unit <= room)
        y = (2.2 + 1.8 * place) * text
        label = Text(number * unit + 0.5 * text, y + 0.2 * text, f"{number} {name}", text, inks.text)
        marks += [*_bar(number, unit, y, text, inks), label]
        widest = max(widest, label.x + text_width(label.text, text))
    return Block(tuple(marks), widest, 4.8 * text)


def _bar(number: int, unit: float, y: float, text: float, inks: Inks) -> list[Mark]:
    """Draw a line with a tick at each unit; the first unit is halved."""
    thick = 0.1 * text
    ticks = [0.0, 0.5 * unit, *(step * unit for step in range(1, number + 1))]
    marks: list[Mark] = [Box(0.0, y - thick / 2, number * unit, thick, 0.0, Paint(inks.text))]
    for x in ticks:
        tall = (0.35 if x == 0.5 * unit else 0.7) * text
        left = min(max(x - thick / 2, 0.0), number * unit - thick)
        marks.append(Box(left, y - tall, thick, tall, 0.0, Paint(inks.text)))
    return marks


def notes(design: Design, ink: Ink, room: float, text: float, inks: Inks) -> Block:
    """Say how to read the drawing."""
    marks: list[Mark] = []
    y = 0.0
    for sentence in _sentences(design, ink):
        for line in wrap(sentence, room, 0.9 * text, most_lines=6):
            y += 1.3 * text
            marks.append(Text(0.0, y, line, 0.9 * text, inks.quiet))
        y += 0.3 * text
    return Block(tuple(marks), room, y)


def _sentences(design: Design, ink: Ink) -> tuple[str, ...]:
    rows = "From row 3 on, a row number stands at the side where the needle begins the row."
    if not design.levels.any():
        return (rows,)
    bulge = "how far it bulges is not to scale."
    if ink == "black":
        return rows, f"A larger bead bulges over its place and has a heavier outline; {bulge}"
    marks = design.bead_sizes.marks[1:]
    return rows, f"A number in a bead is its size ({marks[0]} is {marks[0]}/0); {bulge}"
