"""The sheets that a chart is cut into: which rows and columns each shows, and at which scale.

Chart and list of kinds stand on one page, so the list is measured here before anything is set: it is known to fit.
"""

from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor
from typing import NamedTuple

import numpy as np

from convert.chart.part import part_extent
from convert.chart.row_numbers import Part
from convert.documents.booklet.layout import PT_MM, PageLayout
from convert.rows.find_repeat import Repeat
from shared.design import Design
from shared.errors import BadChoiceError
from shared.typeface import shorten, text_width, wrap

ROWS_AGAIN, COLUMNS_AGAIN = 4, 2
"""How many rows and columns come again on the next sheet."""

LARGEST_LIST = 0.35
"""Part of the page that the kinds of the whole design may take; else each sheet lists those of its own beads."""

SHRUNK, _STEPS = 0.8, 10
"""Down to which part of its largest scale a chart is printed where that saves a sheet; how finely that is tried."""

FEWEST_ROWS = 8
"""A sheet that cannot hold this many is refused."""

GAP_MM = 4.0
"""Between the chart and the list of kinds."""

KNOWN_FACE = 1.12
"""How much more of our own typeface fits into a line than lettering of unknown face is given."""

NOT_NAMED = 'The names of these kinds are listed under "What you need".'

_MOST_NAME_EMS = 18.0


class KindList(NamedTuple):
    """The list of kinds below a chart: its measures and its words."""

    words: tuple[str, ...]
    """Of each entry of the design's beads: its name, shortened to the room."""
    bead_mm: float
    """Room for the bead and its letters."""
    columns: int
    row_mm: float
    line_mm: float
    """Height of a line of running text."""
    opening_lines: int
    """Of the note above the first sheet; other sheets have two at most."""
    note: str
    """What stands above the kinds; empty when their names are there."""

    def head_mm(self, *, first: bool) -> float:
        """Return the room above the chart for headings and captions; the first sheet has the name of the section."""
        if first:
            return (4.6 + self.opening_lines) * self.line_mm
        return 3.4 * self.line_mm

    def height_mm(self, kinds: tuple[int, ...]) -> float:
        """Return the height of some kinds with the gap above them."""
        return GAP_MM + (ceil(len(kinds) / self.columns) + bool(self.note)) * self.row_mm


class ChartSheet(NamedTuple):
    """One page of the chart."""

    part: Part
    again: range
    """Rows that the sheet before has as well; empty for none."""
    columns_again: range
    """Columns that the strip before has as well; empty for none."""
    kinds: tuple[int, ...]
    """Places in the design's beads of the kinds shown."""


class CutChart(NamedTuple):
    """A chart cut into sheets."""

    sheets: tuple[ChartSheet, ...]
    """Strip by strip from the tail side, each from row 1 on."""
    enlargement: float
    """How many times its size the work is printed."""
    kind_list: KindList
    number_mm: float
    """Font size of the numbers beside it, where its beads are large enough for that."""
    repeat: Repeat | None = None


def cut_chart(
    design: Design,
    layout: PageLayout,
    *,
    least_bead_mm: float | None = None,
    opening: str = "",
    repeat: Repeat | None = None,
) -> CutChart:
    """Cut a chart into as few sheets as its pages hold, and print it as large as they then can be.

    Parameters
    ----------
    least_bead_mm
        The shorter side of a flat bead on paper is not less; a wide chart is cut into strips for it. None for what
        the layout says.

    Raises
    ------
    BadChoiceError
        When a bead would be too large for the page, or the kinds leave no room for the chart.
    """
    base = design.bead_sizes.flat
    least = (least_bead_mm or layout.least_bead_mm) / min(base.length_mm, base.diameter_mm)
    strips = _strips(design, layout, least, repeat)
    widest = max(_width(design, columns, repeat) for columns in strips)
    most = min(max(layout.most_enlarged, least), layout.line_mm / widest)
    kind_list = measure_kinds(design, layout, opening=opening)
    try:
        smallest = _cut(_Room(design, layout, repeat, kind_list, max(least, SHRUNK * most)), strips)
    except BadChoiceError:
        kind_list = measure_kinds(design, layout, opening=opening, named=False)
        smallest = _cut(_Room(design, layout, repeat, kind_list, max(least, SHRUNK * most)), strips)
    for step in range(_STEPS):
        scale = most - (most - smallest.enlargement) * step / _STEPS
        try:
            cut = _cut(_Room(design, layout, repeat, kind_list, scale), strips)
        except BadChoiceError:  # only smaller beads leave room for the kinds
            continue
        if len(cut.sheets) <= len(smallest.sheets):
            return cut
    return smallest


def _cut(room: "_Room", strips: list[range]) -> CutChart:
    sheets: list[ChartSheet] = []
    for place, columns in enumerate(strips):
        shared = range(columns[0], columns[0] + COLUMNS_AGAIN) if place else range(0)
        for rows, again, kinds in _stack(room, columns):
            sheets.append(ChartSheet(Part(rows, columns), again, shared, kinds))
    return CutChart(tuple(sheets), room.enlargement, room.kind_list, room.layout.least_number_mm, room.repeat)


@dataclass(frozen=True)
class _Room:
    """What a page holds."""

    design: Design
    layout: PageLayout
    repeat: Repeat | None
    kind_list: KindList
    enlargement: float

    @cached_property
    def fixed(self) -> tuple[int, ...]:
        """The kinds that every sheet has; none when each has those of its own beads."""
        every = tuple(range(len(self.design.beads)))
        return every if self.kind_list.height_mm(every) <= LARGEST_LIST * self.layout.column_mm else ()

    def kinds(self, part: Part) -> tuple[int, ...]:
        """Return the kinds that stand below a part."""
        return self.fixed or kinds_in(self.design, part)

    def fits(self, part: Part, kinds: tuple[int, ...]) -> bool:
        """Return whether a page holds a part with some kinds."""
        head = self.kind_list.head_mm(first=part.rows[0] == 1 and part.columns[0] == 1)
        room = self.layout.column_mm - head - self.kind_list.height_mm(kinds)
        return part_extent(self.design, part, self.repeat).height * self.enlargement <= room


def _width(design: Design, columns: range, repeat: Repeat | None) -> float:
    return part_extent(design, Part(range(1, 3), columns), repeat).width


def _strips(design: Design, layout: PageLayout, least: float, repeat: Repeat | None) -> list[range]:
    """Cut the columns so that each strip fits the page at the least scale, all of them about as wide."""
    columns = design.grid.columns
    if _width(design, range(1, columns + 1), repeat) * least <= layout.line_mm:
        return [range(1, columns + 1)]
    # Next to a narrow strip the label of rows 1 and 2 takes more room than next to a wide one.
    for probe in (columns, 1):
        room = layout.line_mm / least - _width(design, range(1, probe + 1), repeat)
        most = floor(room / design.bead_sizes.flat.length_mm) + probe
        if most < 2 * COLUMNS_AGAIN + 2:
            break
        strips = _even_strips(columns, most)
        if max(_width(design, strip, repeat) for strip in strips) * least <= layout.line_mm:
            return strips
    raise BadChoiceError("beads so large leave no room for a chart on this paper; give a smaller --least-bead")


def _even_strips(columns: int, most: int) -> list[range]:
    """Cut columns into strips of at most that many, all about as wide."""
    count = ceil((columns - COLUMNS_AGAIN) / (most - COLUMNS_AGAIN))
    each = ceil((columns - COLUMNS_AGAIN) / count)
    each += each % 2
    firsts = range(1, columns - COLUMNS_AGAIN + 1, each)
    return [range(first, min(first + each + COLUMNS_AGAIN, columns + 1)) for first in firsts]


def _stack(room: _Room, columns: range) -> list[tuple[range, range, tuple[int, ...]]]:
    """Cut the rows of a strip: rows, those that come again, and the kinds of each sheet."""
    rows, stack = room.design.grid.rows, []
    first, each = 1, _evenly(room, columns)
    while True:
        again = range(first, first + ROWS_AGAIN) if first > 1 else range(0)
        part = Part(range(first, min(rows, first + each - 1) + 1), columns)
        while not room.fits(part, room.kinds(part)):
            part = Part(range(first, part.rows[-1] - 1), columns)
            if len(part.rows) < min(FEWEST_ROWS, rows):
                raise BadChoiceError("the kinds of this design leave no room for its chart; use fewer colours")
        stack.append((part.rows, again, room.kinds(part)))
        if part.rows[-1] >= rows:
            return stack
        first = part.rows[-1] + 1 - ROWS_AGAIN


def _evenly(room: _Room, columns: range) -> int:
    """Return how many rows each sheet of a strip has so that all are about as full; an even number."""
    rows = room.design.grid.rows
    # The more rows, the less they fit: so a few trials by halving find the most, however long the work.
    counts = range(rows + rows % 2, FEWEST_ROWS, -2)
    misfits = bisect_left(
        counts, 1, key=lambda many: room.fits(Part(range(1, min(many, rows) + 1), columns), room.fixed)
    )
    most = rows + rows % 2 - 2 * misfits
    if most >= rows:
        return most
    count = ceil((rows - ROWS_AGAIN) / (most - ROWS_AGAIN))
    each = ceil((rows - ROWS_AGAIN) / count) + ROWS_AGAIN
    return min(most, each + each % 2)


def kinds_in(design: Design, part: Part) -> tuple[int, ...]:
    """Return the places of the beads that a part shows."""
    grid = design.grid
    rows = grid.row_slice(part.rows[0], part.rows[-1])
    columns = grid.column_of[rows]
    inside = (columns >= part.columns[0]) & (columns <= part.columns[-1])
    return tuple(np.unique(design.cells[rows][inside]).tolist())


def measure_kinds(design: Design, layout: PageLayout, *, opening: str = "", named: bool = True) -> KindList:
    """Measure the list of kinds of a design, and the room that the note above the first sheet takes.

    A list that is not ``named`` shows beads and letters alone, for designs with more kinds than a page has room for.
    """
    em = layout.kinds_pt * PT_MM / KNOWN_FACE
    letters = max(text_width(bead.kind, em, bold=True) for bead in design.beads)
    words = [f"{bead.name}, {bead.size}" if named else "" for bead in design.beads]
    bead_mm = 1.6 * em + letters + 0.8 * em
    wanted = bead_mm + min(max(text_width(word, em) for word in words), _MOST_NAME_EMS * em) + em
    columns = max(1, min(len(words), int(layout.line_mm / wanted)))
    room = layout.line_mm / columns - bead_mm - em
    fitted = tuple(_fit_words(bead.name, bead.size, room, em) if named else "" for bead in design.beads)
    body = layout.body_pt * PT_MM
    lines = len(wrap(opening, layout.line_mm, body / KNOWN_FACE, most_lines=20))
    return KindList(
        fitted, bead_mm, columns, 1.75 * layout.kinds_pt * PT_MM, 1.32 * body, lines, "" if named else NOT_NAMED
    )


def _fit_words(name: str, size: str, room: float, em: float) -> str:
    """Shorten the name, never the size."""
    tail = f", {size}"
    return shorten(name, room - text_width(tail, em), em) + tail
