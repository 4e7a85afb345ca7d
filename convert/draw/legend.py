"""The legend: every key with its bead as drawn, colour name, size and count, in as many columns as wanted."""

from dataclasses import dataclass
from math import ceil

from convert.draw.bead_shapes import Kind
from convert.draw.inks import Inks
from convert.draw.lettering import shorten, text_width
from convert.draw.shapes import Anchor, Block, Box, Mark, Paint, Text, all_moved, extent_of, union
from shared.design import Design

_LONGEST_NAME = 15.0
"""Room for a colour name, in font sizes."""

_HEADINGS = ("key", "colour", "size", "beads")


@dataclass(frozen=True, slots=True)
class Table:
    """The measures of the legend, in mm.

    Parameters
    ----------
    text
        Font size.
    step
        From one line to the next.
    bead
        Width and height of the largest bead drawn.
    fields
        Widths of the fields key, colour, size, beads.
    entries
        How many keys there are.
    """

    text: float
    step: float
    bead: tuple[float, float]
    fields: tuple[float, float, float, float]
    entries: int

    @property
    def gap(self) -> float:
        """Between two fields."""
        return 0.8 * self.text

    @property
    def column_width(self) -> float:
        """Width of one column of the legend."""
        return self.bead[0] + sum(self.fields) + len(self.fields) * self.gap

    @property
    def column_gap(self) -> float:
        """Between two columns of the legend."""
        return 2.5 * self.text

    def columns_within(self, width: float) -> int:
        """Return how many columns to set within a width, at least 1: many, but the last one well filled."""
        fitting = int((width + self.column_gap) // (self.column_width + self.column_gap))
        most = max(1, min(fitting, self.entries))
        return min(range(most, most // 2, -1), key=lambda columns: -self.entries % columns)

    def columns_for(self, height: float) -> int:
        """Return how few columns keep the legend within a height."""
        lines = max(6, int(height // self.step) - 2)
        return ceil(self.entries / lines)


def legend_table(design: Design, kinds: tuple[Kind, ...], text: float) -> Table:
    """Measure the legend of a design in a font size."""
    bodies = union(extent_of(mark) for kind in kinds for mark in kind.marks)
    bead = (bodies.width, bodies.height)
    cells = [_HEADINGS, *_cells(design)]
    key, name, size, count = (
        max(text_width(c, text, bold=i == 0) for c in field) for i, field in enumerate(zip(*cells))
    )
    fields = (key, min(name, _LONGEST_NAME * text), size, count)
    return Table(text, max(1.55 * text, bead[1] + 0.3 * text), bead, fields, len(kinds))


def legend(design: Design, kinds: tuple[Kind, ...], table: Table, columns: int, inks: Inks) -> Block:
    """Lay out the legend in a number of columns."""
    lines = ceil(len(kinds) / columns)
    entries = list(zip(kinds, _cells(design), strict=True))
    marks: list[Mark] = []
    for place in range(columns):
        left = place * (table.column_width + table.column_gap)
        marks += _heading(table, left, inks)
        for line, (kind, cells) in enumerate(entries[place * lines : (place + 1) * lines], start=1):
            y = (line + 0.5) * table.step
            marks += all_moved(kind.marks, left + table.bead[0] / 2, y)
            marks += _line(table, left, y, cells, inks)
    width = columns * (table.column_width + table.column_gap) - table.column_gap
    bottom = (lines + 1.4) * table.step
    total = f"{design.grid.count:,} beads of {len(kinds)} {'kind' if len(kinds) == 1 else 'kinds'}"
    marks.append(Text(0.0, bottom + table.text, total, table.text, inks.text, bold=True))
    return Block(tuple(marks), max(width, text_width(total, table.text, bold=True)), bottom + 1.5 * table.text)


def _cells(design: Design) -> list[tuple[str, str, str, str]]:
    counts = design.counts.tolist()
    return [(b.key, b.name, b.size, f"{count:,}") for b, count in zip(design.beads, counts, strict=True)]


def _heading(table: Table, left: float, inks: Inks) -> list[Mark]:
    y = 0.5 * table.step
    rule = Box(left, table.step, table.column_width, 0.06 * table.text, 0.0, Paint(inks.quiet))
    return [rule, *_texts(table, left, y, _HEADINGS, 0.85 * table.text, (inks.quiet,) * 4, bold=False)]


def _line(table: Table, left: float, y: float, cells: tuple[str, str, str, str], inks: Inks) -> list[Mark]:
    return _texts(table, left, y, cells, table.text, (inks.text, inks.text, inks.quiet, inks.text), bold=True)


def _texts(
    table: Table,
    left: float,
    y: float,
    cells: tuple[str, str, str, str],
    size: float,
    colours: tuple[str, ...],
    *,
    bold: bool,
) -> list[Mark]:
    """Set the four fields of a line; the key may be bold, the count stands right."""
    marks: list[Mark] = []
    x = left + table.bead[0] + table.gap
    for place, (cell, width, colour) in enumerate(zip(cells, table.fields, colours, strict=True)):
        last = place == len(cells) - 1
        anchor: Anchor = "end" if last else "start"
        shown = shorten(cell, width * 1.001, size) if place == 1 else cell
        at = x + width if last else x
        marks.append(Text(at, y + 0.35 * size, shown, size, colour, anchor, bold and place == 0))
        x += width + table.gap
    return marks
