"""The legend: every kind with its bead as drawn, colour name, size and count, in as many columns as wanted.

Next to the large letters of large works beads as small as in the chart would be specks: they are as high as letters.
"""

from dataclasses import dataclass
from math import ceil

from convert.chart.bead_shapes import BeadDrawing
from convert.chart.figures import DIGIT_HEIGHT
from convert.chart.inks import Inks
from convert.chart.shapes import Anchor, Block, Mark, Paint, Rectangle, Text, extent_of, move_all, union
from shared.design import Design
from shared.plural import counted
from shared.typeface import shorten, text_width

_MOST_COLUMNS = 8

_LONGEST_NAME = 15.0
"""Room for a colour name, in font sizes."""

_HEADING = 0.85
"""Size of the headings of fields, in font sizes."""

LegendLine = tuple[str, str, str, str]
"""What is written of a kind: letter with size, colour name, size, count."""

_HEADINGS: LegendLine = ("kind", "colour", "size", "beads")
_ANCHORS: tuple[Anchor, ...] = ("start", "start", "start", "end")


@dataclass(frozen=True, slots=True)
class LegendMeasures:
    """The measures of the legend, in mm.

    Parameters
    ----------
    enlarged
        How much larger than in the chart beads are drawn, 1 or more.
    fields
        Widths of the fields kind, colour, size, beads.
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
        """In how many columns the legend may be set: at most a few, none of them empty."""
        counts = range(1, min(_MOST_COLUMNS, self.entries) + 1)
        return tuple(columns for columns in counts if ceil(self.entries / ceil(self.entries / columns)) == columns)


def measure_legend(design: Design, kinds: tuple[BeadDrawing, ...], text: float) -> LegendMeasures:
    """Measure the legend of a design in a font size."""
    bodies = union(extent_of(mark) for kind in kinds for mark in kind.marks)
    lines = _lines_of(design)
    _, names, sizes, counts = zip(_HEADINGS, *lines, strict=True)
    fields = (
        # Measured as it is drawn: at the size of the bold kinds this heading would make narrow legends too wide.
        max(text_width(_HEADINGS[0], _HEADING * text), _widest(tuple(kind for kind, *_ in lines), text, bold=True)),
        min(_widest(names, text), _LONGEST_NAME * text),
        _widest(sizes, text),
        _widest(counts, text),
    )
    step = max(1.55 * text, bodies.height + 0.3 * text)
    enlarged = max(1.0, text / bodies.height)
    return LegendMeasures(text, step, enlarged * bodies.width, enlarged, fields, len(kinds))


def _widest(cells: tuple[str, ...], text: float, *, bold: bool = False) -> float:
    return max(text_width(cell, text, bold=bold) for cell in cells)


def draw_legend(
    design: Design, kinds: tuple[BeadDrawing, ...], measures: LegendMeasures, columns: int, inks: Inks
) -> Block:
    """Lay out the legend in a number of columns."""
    lines = ceil(len(kinds) / columns)
    entries = list(zip(kinds, _lines_of(design), strict=True))
    marks: list[Mark] = []
    for place in range(columns):
        left = place * (measures.column_width + measures.column_gap)
        marks += _draw_legend_heading(measures, left, inks)
        for line, (kind, cells) in enumerate(entries[place * lines : (place + 1) * lines], start=1):
            y = (line + 0.5) * measures.step
            marks += move_all(kind.marks, left + measures.bead_width / 2, y, measures.enlarged)
            marks += _draw_line(measures, left, y, cells, inks)
    width = columns * (measures.column_width + measures.column_gap) - measures.column_gap
    bottom = (lines + 1.4) * measures.step
    total = f"{counted(design.grid.count, 'bead')} of {counted(len(kinds), 'kind')}"
    marks.append(Text(0.0, bottom + measures.text, total, measures.text, inks.text, bold=True))
    return Block(tuple(marks), max(width, text_width(total, measures.text, bold=True)), bottom + 1.5 * measures.text)


def _lines_of(design: Design) -> list[LegendLine]:
    counts = design.counts.tolist()
    return [(b.kind, b.name, b.size, f"{count:,}") for b, count in zip(design.beads, counts, strict=True)]


def _draw_legend_heading(measures: LegendMeasures, left: float, inks: Inks) -> list[Mark]:
    size, y = _HEADING * measures.text, 0.7 * measures.step
    rule = Rectangle(left, measures.step, measures.column_width, 0.06 * measures.text, 0.0, Paint(inks.quiet))
    words = zip(_HEADINGS, _places(measures, left), _ANCHORS, strict=True)
    return [rule, *(Text(x, y, word, size, inks.quiet, anchor) for word, x, anchor in words)]


def _draw_line(measures: LegendMeasures, left: float, y: float, cells: LegendLine, inks: Inks) -> list[Mark]:
    """Set the four fields of a kind; a name that is too long is shortened, the count stands right."""
    size = measures.text
    kind, name, bead_size, count = cells
    shown = (kind, shorten(name, measures.fields[1] * 1.001, size), bead_size, count)
    colours = (inks.text, inks.text, inks.quiet, inks.text)
    baseline = y + size * DIGIT_HEIGHT / 2
    fields = zip(shown, _places(measures, left), _ANCHORS, colours, strict=True)
    return [
        Text(x, baseline, cell, size, colour, anchor, bold=place == 0)
        for place, (cell, x, anchor, colour) in enumerate(fields)
    ]


def _places(measures: LegendMeasures, left: float) -> list[float]:
    """Return the x of each field: where it begins, for the last one where it ends."""
    begins = [left + measures.bead_width + measures.gap]
    for width in measures.fields:
        begins.append(begins[-1] + width + measures.gap)
    return [*begins[:3], begins[4] - measures.gap]
