"""What stands around and between the beads: numbers of rows and columns, row fronts, the tail, the repeat's bracket."""

from dataclasses import dataclass
from math import pi, sin
from typing import NamedTuple

import numpy as np

from convert.chart.figures import DIGIT_HEIGHT
from convert.chart.inks import Inks
from convert.chart.shapes import Anchor, Mark, Paint, Path, Point, Rectangle, Text
from convert.rows.find_repeat import Repeat
from shared.design import Design
from shared.grid import Grid
from shared.plural import counted

_FIRST_ROWS_LINE = 0.1
"""Width of the lines about rows 1 and 2, which are strung together, in diameters of a slot."""

_AWAY, _ARM, _BRACKET_LINE = 3.0, 0.6, 0.14
"""How far from the work the repeat's bracket stands, how long its arms are, and its line, in diameters of a slot."""

_REPEAT_TEXT = 0.9
"""Font size of what the bracket means, in diameters of a slot."""

Front = tuple[Point, ...]
"""The corners of the edge between a row and the next, from the tail side on."""

PLAIN_NUMBER = 0.66
"""Font size of a plain row number, in diameters of a slot."""


class Part(NamedTuple):
    """Some rows and columns of a work, each in rising order without gaps."""

    rows: range
    columns: range


def whole(grid: Grid) -> Part:
    """Return all of a work."""
    return Part(range(1, grid.rows + 1), range(1, grid.columns + 1))


@dataclass(frozen=True, slots=True)
class Margins:
    """Where things stand on the work, whichever hand and start it has.

    Parameters
    ----------
    length_mm, diameter_mm
        Measures of a slot.
    """

    grid: Grid
    length_mm: float
    diameter_mm: float
    inks: Inks

    @property
    def width(self) -> float:
        """Width of the work in mm."""
        return self.grid.extent_mm(self.length_mm, self.diameter_mm)[0]

    @property
    def height(self) -> float:
        """Length of the work in mm."""
        return self.grid.extent_mm(self.length_mm, self.diameter_mm)[1]

    @property
    def onward(self) -> int:
        """The direction in which the work grows: 1 down the page, -1 up."""
        return 1 if self.grid.start == "top" else -1

    @property
    def inward(self) -> int:
        """The direction from the tail side into the work: 1 to the right, -1 to the left."""
        return 1 if self.grid.hand == "right" else -1

    @property
    def tail_edge(self) -> float:
        """The x of the edge on the tail side."""
        return 0.0 if self.grid.hand == "right" else self.width

    def row_y(self, row: int) -> float:
        """Return the y of the centres of a row."""
        down = row if self.grid.start == "top" else self.grid.rows + 1 - row
        return down * self.diameter_mm / 2

    def column_edge(self, column: int) -> float:
        """Return the x of the edge of a column that lies away from the tail; of column 0, the edge on the tail side."""
        return self.tail_edge + self.inward * column * self.length_mm

    def column_x(self, column: int) -> float:
        """Return the x of the centres of a column."""
        return self.tail_edge + self.inward * (column - 0.5) * self.length_mm


def margins_of(design: Design, inks: Inks) -> Margins:
    """Return the margins of a design."""
    flat = design.bead_sizes.flat
    return Margins(design.grid, flat.length_mm, flat.diameter_mm, inks)


def draw_row_numbers(margins: Margins, part: Part, *, size: float = PLAIN_NUMBER) -> tuple[Mark, ...]:
    """Write the number of each row where the needle begins it: odd rows far from the tail, even rows near.

    ``size`` is that of plain numbers, in diameters of a slot; ``part`` says which rows and columns are shown.
    """
    marks: list[Mark] = []
    for row in part.rows:
        tail_side = _begins_at_tail(margins.grid, row)
        edge = margins.column_edge(part.columns[0] - 1 if tail_side else part.columns[-1])
        outward = -margins.inward if tail_side else margins.inward
        if row % 10 == 0:
            marks += _draw_tenth_number(margins, row, edge, outward)
        else:
            marks += _draw_plain_number(margins, row, edge, outward, size)
    return tuple(marks)


def _begins_at_tail(grid: Grid, row: int) -> bool:
    """Return on which side the number of a row stands; of rows 1 and 2, strung together, the first has it opposite."""
    strung = grid.entries[0]
    return grid.entry_of[row].direction == strung.direction and row != strung.rows[0]


def _draw_plain_number(margins: Margins, row: int, edge: float, outward: int, size: float) -> list[Mark]:
    d = margins.diameter_mm
    place = (edge + outward * 0.35 * d, margins.row_y(row))
    return [_set_outwards(str(row), place, outward, size * d, margins.inks.quiet)]


def _draw_tenth_number(margins: Margins, row: int, edge: float, outward: int) -> list[Mark]:
    d, y = margins.diameter_mm, margins.row_y(row)
    near, far = sorted((edge + outward * 0.2 * d, edge + outward * 0.9 * d))
    tick = Rectangle(near, y - 0.05 * d, far - near, 0.1 * d, 0.0, Paint(margins.inks.text))
    number = _set_outwards(str(row), (edge + outward * 1.1 * d, y), outward, 0.9 * d, margins.inks.text, bold=True)
    return [tick, number]


def _set_outwards(text: str, place: Point, outward: int, size: float, colour: str, *, bold: bool = False) -> Text:
    """Set text that begins at a place and runs to the right (outward 1), or ends there (-1)."""
    anchor: Anchor = "start" if outward > 0 else "end"
    return Text(place[0], place[1] + size * DIGIT_HEIGHT / 2, text, size, colour, anchor, bold)


def draw_column_numbers(margins: Margins, part: Part, *, size: float = PLAIN_NUMBER) -> tuple[Mark, ...]:
    """Write the numbers of columns 1, 5, 10 … from the tail side, along the top of a part.

    ``size`` is that of plain numbers, in diameters of a slot.
    """
    d = margins.diameter_mm
    top = min(margins.row_y(part.rows[0]), margins.row_y(part.rows[-1])) - d / 2
    y = top - (1.9 if margins.grid.start == "top" and 1 in part.rows else 0.75) * d
    marks: list[Mark] = []
    for column in (column for column in part.columns if column == 1 or column % 5 == 0):
        x, strong = margins.column_x(column), column % 10 == 0
        colour = margins.inks.text if strong else margins.inks.quiet
        marks.append(Text(x, y, str(column), (max(0.8, size) if strong else size) * d, colour, "middle", strong))
        marks.append(Rectangle(x - 0.03 * d, y + 0.2 * d, 0.06 * d, 0.3 * d, 0.0, Paint(colour)))
    return tuple(marks)


def tenth_fronts(margins: Margins, part: Part) -> tuple[Front, ...]:
    """Return the edge of the finished rows after every tenth row."""
    return tuple(_front(margins, row, part) for row in part.rows if row % 10 == 0 and row < part.rows[-1])


def draw_fronts(margins: Margins, fronts: tuple[Front, ...], line: float) -> tuple[Mark, ...]:
    """Trace fronts, in the seams, so that no colour is hidden; ``line`` is its width in diameters of a slot."""
    return tuple(mark for front in fronts for mark in _draw_edged(margins, front, margins.inks.guide, line))


def draw_first_front(margins: Margins, part: Part) -> tuple[Mark, ...]:
    """Trace the edge between rows 1 and 2, which are strung together, and row 3."""
    if 3 not in part.rows or 2 not in part.rows:
        return ()
    return trace_front(margins, 2, margins.inks.accent, _FIRST_ROWS_LINE, part)


def trace_front(margins: Margins, row: int, colour: str, line: float, part: Part) -> tuple[Mark, ...]:
    """Draw the front of a row as `draw_fronts` does."""
    return _draw_edged(margins, _front(margins, row, part), colour, line)


def _draw_edged(margins: Margins, points: Front, colour: str, line: float) -> tuple[Mark, ...]:
    """Draw a front; on colours it is edged with paper, so that it shows on dark beads as well."""
    edge = [] if margins.inks.front_edge is None else [_pen(margins, margins.inks.front_edge, 2 * line)]
    return tuple(Path(points, closed=False, paint=paint) for paint in [*edge, _pen(margins, colour, line)])


def _pen(margins: Margins, colour: str, line: float) -> Paint:
    return Paint(None, colour, line * margins.diameter_mm)


def _front(margins: Margins, row: int, part: Part) -> Front:
    """Return the corners of the edge between a row and the next, from the tail side on."""
    ahead = margins.row_y(row) + margins.onward * margins.diameter_mm / 2
    columns = np.array(part.columns)
    edges = margins.tail_edge + margins.inward * np.append(columns[0] - 1, columns) * margins.length_mm
    held = margins.grid.bead_at(np.array(row), columns) >= 0
    ys = np.where(held, ahead, margins.row_y(row)).repeat(2)
    return tuple(zip(edges.repeat(2)[1:-1].tolist(), ys.tolist(), strict=True))


def draw_tail(margins: Margins, label: str = "rows 1 + 2, strung together") -> tuple[Mark, ...]:
    """Draw the tail next to row 1, outside the work, with an arrow as rows 1 and 2 are strung and a label behind it."""
    d, m = margins.diameter_mm, margins
    paint = _pen(m, m.inks.accent, _FIRST_ROWS_LINE)
    y = m.row_y(1) - m.onward * (d / 2 + 0.5 * d)
    start = m.tail_edge - m.inward * 0.4 * d
    tip = m.tail_edge + m.inward * min(max(m.width, 2 * d), 9 * d)
    marks: list[Mark] = [Path(_loose_end(m, start, y), closed=False, paint=paint)]
    marks += _draw_arrow(start, tip, y, d, paint)
    marks.append(_set_outwards("tail", (start - m.inward * 3.3 * d, y), -m.inward, 0.72 * d, m.inks.accent))
    words = _set_outwards(label, (tip + m.inward * 0.5 * d, y), m.inward, 0.66 * d, m.inks.accent)
    return (*marks, words)


def _loose_end(margins: Margins, start: float, y: float) -> tuple[Point, ...]:
    """Return a loose end of thread that waves away from the work."""
    d = margins.diameter_mm
    steps = [step / 24 for step in range(25)]
    return tuple((start - margins.inward * 3 * d * s, y - 0.3 * d * s * sin(4 * pi * s)) for s in steps)


def _draw_arrow(start: float, tip: float, y: float, d: float, paint: Paint) -> list[Mark]:
    direction = 1 if tip > start else -1
    barb = 0.55 * d
    head = ((tip, y), (tip - direction * barb, y - 0.28 * d), (tip - direction * barb, y + 0.28 * d))
    return [
        Path(((start, y), (tip - direction * barb, y)), closed=False, paint=paint),
        Path(head, closed=True, paint=Paint(paint.stroke)),
    ]


def mark_repeat(margins: Margins, repeat: Repeat) -> tuple[Mark, ...]:
    """Draw a bracket along the first repeat, on the side away from the tail, with its rows and how often it comes."""
    d, outward = margins.diameter_mm, margins.inward
    size, x = _REPEAT_TEXT * d, _bracket_x(margins) + outward * 0.6 * d
    words = _repeat_in_words(repeat)
    middle = (margins.row_y(repeat.first) + margins.row_y(repeat.last)) / 2
    top = middle - (len(words) - 1) / 2 * 1.4 * size
    lines = [
        _set_outwards(word, (x, top + 1.4 * size * place), outward, size, margins.inks.accent, bold=place == 0)
        for place, word in enumerate(words)
    ]
    return (*draw_bracket(margins, repeat, whole(margins.grid)), *lines)


def draw_bracket(margins: Margins, repeat: Repeat, part: Part) -> tuple[Mark, ...]:
    """Draw as much of the bracket alone as a part shows: its arms stand where the first repeat begins and ends.

    Nothing where the part ends before the side away from the tail, or shows no row of the first repeat.
    """
    rows = range(max(repeat.first, part.rows[0]), min(repeat.last, part.rows[-1]) + 1)
    if not rows or part.columns[-1] != margins.grid.columns:
        return ()
    d, x = margins.diameter_mm, _bracket_x(margins)
    begin, end = (margins.row_y(row) + side * margins.onward * d / 2 for row, side in ((rows[0], -1), (rows[-1], 1)))
    arm = x - margins.inward * _ARM * d
    points = [(x, begin), (x, end)]
    if rows[0] == repeat.first:
        points.insert(0, (arm, begin))
    if rows[-1] == repeat.last:
        points.append((arm, end))
    return (Path(tuple(points), closed=False, paint=_pen(margins, margins.inks.accent, _BRACKET_LINE)),)


def _bracket_x(margins: Margins) -> float:
    return margins.tail_edge + margins.inward * (margins.width + _AWAY * margins.diameter_mm)


def _repeat_in_words(repeat: Repeat) -> tuple[str, ...]:
    part = f"and {counted(repeat.partial, 'row')} of it" if repeat.partial else ""
    words = ("repeat", f"rows {repeat.first} to {repeat.last},", counted(repeat.times, "time"), part)
    return tuple(word for word in words if word)
