"""The legend: every key with its bead as drawn, colour name, size and count, in as many columns as wanted.

Beside the large letters of large works beads as small as in the chart would be specks: they are as high as the letters.
"""

from dataclasses import dataclass
from math import ceil

from convert.chart.bead_shapes import Kind
from convert.chart.inks import Inks
from convert.chart.lettering import DIGIT_HEIGHT, shorten, text_width
from convert.chart.shapes import Anchor, Block, Box, Mark, Paint, Text, all_moved, extent_of, union
from shared.design import Design
from shared.plural import counted

_MOST_COLUMNS = 8

_LONGEST_NAME = 15.0
"""Room for a colour name, in font sizes."""

Cells = tuple[str, str, str, str]

_HEADINGS: Cells = ("key", "colour", "size", "beads")
_ANCHORS: tuple[Anchor, ...] = ("start", "start", "start", "end")


@dataclass(frozen=True, slots=True)
class Table:
    """The measures of the legend, in mm.

    Parameters
    ----------
    text
        Font size.
    step
        From one line to the next.
    bead_width
        Width of the widest bead drawn.
    enlarged
        How much larger than in the chart beads are drawn, 1 or more.
    fields
        Widths of the fields key, colour, size, beads.
    entries
        How many keys there are.
    """

    text: float
    step: float
    bead_width: float
    enlarged: float
    fields: tuple[float, float, float, float]
    entries: int

    @property
    def gap(self) -> float:
        """Between two fields."""
        return 0.8 * self.text

    @property
    def column_width(self) -> float:
        """Width of one column of the legend."""
        return self.bead_width + sum(self.fields) + len(self.fields) * self.gap

    @property
    def column_gap(self) -> float:
        """Between two columns of the legend."""
        return 2.5 * self.text

    @property
    def choices(self) -> tuple[int, ...]:
        """In how many columns the legend may be set: a few, none of them empty."""
        counts = range(1, min(_MOST_COLUMNS, self.entries) + 1)
        return tuple(columns for columns in counts if ceil(self.entries / ceil(self.entries / columns)) == columns)


def legend_table(design: Design, kinds: tuple[Kind, ...], text: float) -> Table:
    """Measure the legend of a design in a font size."""
    bodies = union(extent_of(mark) for kind in kinds for mark in kind.marks)
    keys, names, sizes, counts = zip(_HEADINGS, *_cells(design), strict=True)
    fields = (
        _widest(keys, text, bold=True),
        min(_widest(names, text), _LONGEST_NAME * text),
        _widest(sizes, text),
        _widest(counts, text),
    )
    step = max(1.55 * text, bodies.height + 0.3 * text)
    enlarged = max(1.0, text / bodies.height)
    return Table(text, step, enlarged * bodies.width, enlarged, fields, len(kinds))


def _widest(cells: tuple[str, ...], text: float, *, bold: bool = False) -> float:
    return max(text_width(cell, text, bold=bold) for cell in cells)


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
            marks += all_moved(kind.marks, left + table.bead_width / 2, y, table.enlarged)
            marks += _line(table, left, y, cells, inks)
    width = columns * (table.column_width + table.column_gap) - table.column_gap
    bottom = (lines + 1.4) * table.step
    total = f"{counted(design.grid.count, 'bead')} of {counted(len(kinds), 'kind')}"
    marks.append(Text(0.0, bottom + table.text, total, table.text, inks.text, bold=True))
    return Block(tuple(marks), max(width, text_width(total, table.text, bold=True)), bottom + 1.5 * table.text)


def _cells(design: Design) -> list[Cells]:
    counts = design.counts.tolist()
    return [(b.kind, b.name, b.size, f"{count:,}") for b, count in zip(design.beads, counts, strict=True)]


def _heading(table: Table, left: float, inks: Inks) -> list[Mark]:
    size, y = 0.85 * table.text, 0.7 * table.step
    rule = Box(left, table.step, table.column_width, 0.06 * table.text, 0.0, Paint(inks.quiet))
    words = zip(_HEADINGS, _places(table, left), _ANCHORS, strict=True)
    return [rule, *(Text(x, y, word, size, inks.quiet, anchor) for word, x, anchor in words)]


def _line(table: Table, left: float, y: float, cells: Cells, inks: Inks) -> list[Mark]:
    """Set the four fields of a key; a name that is too long is shortened, the count stands right."""
    size = table.text
    key, name, bead_size, count = cells
    shown = (key, shorten(name, table.fields[1] * 1.001, size), bead_size, count)
    colours = (inks.text, inks.text, inks.quiet, inks.text)
    baseline = y + size * DIGIT_HEIGHT / 2
    fields = zip(shown, _places(table, left), _ANCHORS, colours, strict=True)
    return [
        Text(x, baseline, cell, size, colour, anchor, bold=place == 0)
        for place, (cell, x, anchor, colour) in enumerate(fields)
    ]


def _places(table: Table, left: float) -> list[float]:
    """Return the x of each field: where it begins, for the last one where it ends."""
    begins = [left + table.bead_width + table.gap]
    for width in table.fields:
        begins.append(begins[-1] + width + table.gap)
    return [*begins[:3], begins[4] - table.gap]
