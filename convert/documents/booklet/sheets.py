"""The sheets that a chart is cut into: which rows and columns each shows, and at which scale."""

from bisect import bisect_left
from dataclasses import dataclass
from functools import cached_property
from math import ceil, floor
from typing import NamedTuple

import numpy as np

from convert.chart.part import part_extent
from convert.chart.row_numbers import Part
from convert.documents.booklet.keys import KeyTable, key_table
from convert.documents.booklet.layout import Layout
from convert.rows.find_repeat import Repeat
from shared.design import Design
from shared.errors import BadChoiceError

ROWS_AGAIN, COLUMNS_AGAIN = 4, 2
"""So many rows and columns come again on the next sheet."""

LARGEST_KEY = 0.35
"""Part of the page that the key of the whole design may take; else each sheet has the keys of its own beads."""

SHRUNK, _STEPS = 0.8, 10
"""So much smaller than could be the chart may be printed where that saves a sheet; and how finely that is tried."""

FEWEST_ROWS = 8
"""A sheet that cannot hold so many is refused."""


class Sheet(NamedTuple):
    """One page of the chart."""

    part: Part
    """The rows and columns on it."""
    again: range
    """Rows that the sheet before has as well; empty for none."""
    columns_again: range
    """Columns that the strip before has as well; empty for none."""
    keys: tuple[int, ...]
    """Places in the design's beads of the keys shown."""


class Cut(NamedTuple):
    """A chart cut into sheets."""

    sheets: tuple[Sheet, ...]
    """Strip by strip from the tail side, each from row 1 on."""
    enlargement: float
    """How many times its size the work is printed."""
    table: KeyTable
    """The measures of the keys."""
    number_mm: float
    """Font size of the numbers beside it, where its beads are large enough for that."""
    repeat: Repeat | None = None
    """What is marked at the side."""


def cut_chart(
    design: Design,
    layout: Layout,
    *,
    least_bead_mm: float | None = None,
    opening: str = "",
    repeat: Repeat | None = None,
) -> Cut:
    """Cut a chart into as few sheets as its pages hold, and print it as large as they then can be.

    Parameters
    ----------
    design
        What it shows.
    layout
        Of the pages.
    least_bead_mm
        The shorter side of a flat bead on paper is not less; a wide chart is cut into strips for it. None for what
        the layout says.
    opening
        The note that stands above the first sheet.
    repeat
        What is marked at the side, if anything.

    Raises
    ------
    BadChoiceError
        When a bead would be too large for the page, or the keys leave no room for the chart.
    """
    base = design.bead_sizes.flat
    least = (least_bead_mm or layout.least_bead_mm) / min(base.length_mm, base.diameter_mm)
    strips = _strips(design, layout, least, repeat)
    widest = max(_width(design, columns, repeat) for columns in strips)
    most = min(max(layout.most_enlarged, least), layout.line_mm / widest)
    table = key_table(design, layout, opening=opening)
    try:
        smallest = _cut(_Room(design, layout, repeat, table, max(least, SHRUNK * most)), strips)
    except BadChoiceError:
        table = key_table(design, layout, opening=opening, named=False)
        smallest = _cut(_Room(design, layout, repeat, table, max(least, SHRUNK * most)), strips)
    for step in range(_STEPS):
        scale = most - (most - smallest.enlargement) * step / _STEPS
        try:
            cut = _cut(_Room(design, layout, repeat, table, scale), strips)
        except BadChoiceError:  # only smaller beads leave room for the keys
            continue
        if len(cut.sheets) <= len(smallest.sheets):
            return cut
    return smallest


def _cut(room: "_Room", strips: list[range]) -> Cut:
    sheets: list[Sheet] = []
    for place, columns in enumerate(strips):
        shared = range(columns[0], columns[0] + COLUMNS_AGAIN) if place else range(0)
        for rows, again, keys in _stack(room, columns):
            sheets.append(Sheet(Part(rows, columns), again, shared, keys))
    return Cut(tuple(sheets), room.enlargement, room.table, room.layout.least_number_mm, room.repeat)


@dataclass(frozen=True)
class _Room:
    """What a page holds."""

    design: Design
    layout: Layout
    repeat: Repeat | None
    table: KeyTable
    enlargement: float

    @cached_property
    def fixed(self) -> tuple[int, ...]:
        """The keys that every sheet has; none when each has those of its own beads."""
        every = tuple(range(len(self.design.beads)))
        return every if self.table.height_mm(every) <= LARGEST_KEY * self.layout.column_mm else ()

    def keys(self, part: Part) -> tuple[int, ...]:
        """Return the keys that stand beside a part."""
        return self.fixed or keys_in(self.design, part)

    def fits(self, part: Part, keys: tuple[int, ...]) -> bool:
        """Tell whether a page holds a part with some keys."""
        head = self.table.head_mm(first=part.rows[0] == 1 and part.columns[0] == 1)
        room = self.layout.column_mm - head - self.table.height_mm(keys)
        return part_extent(self.design, part, self.repeat).height * self.enlargement <= room


def _width(design: Design, columns: range, repeat: Repeat | None) -> float:
    return part_extent(design, Part(range(1, 3), columns), repeat).width


def _strips(design: Design, layout: Layout, least: float, repeat: Repeat | None) -> list[range]:
    """Cut the columns so that each strip fits the page at the least scale, all of them about as wide."""
    columns = design.grid.columns
    if _width(design, range(1, columns + 1), repeat) * least <= layout.line_mm:
        return [range(1, columns + 1)]
    for probe in (columns, 1):  # beside a narrow strip the label of the strand takes more room than beside a wide one
        room = layout.line_mm / least - _width(design, range(1, probe + 1), repeat)
        most = floor(room / design.bead_sizes.flat.length_mm) + probe
        if most < 2 * COLUMNS_AGAIN + 2:
            break
        strips = _even_strips(columns, most)
        if max(_width(design, strip, repeat) for strip in strips) * least <= layout.line_mm:
            return strips
    raise BadChoiceError("beads so large leave no room for a chart on this paper; give a smaller --least-bead")


def _even_strips(columns: int, most: int) -> list[range]:
    """Cut columns into strips of so many at most, all about as wide."""
    count = ceil((columns - COLUMNS_AGAIN) / (most - COLUMNS_AGAIN))
    each = ceil((columns - COLUMNS_AGAIN) / count)
    each += each % 2
    firsts = range(1, columns - COLUMNS_AGAIN + 1, each)
    return [range(first, min(first + each + COLUMNS_AGAIN, columns + 1)) for first in firsts]


def _stack(room: _Room, columns: range) -> list[tuple[range, range, tuple[int, ...]]]:
    """Cut the rows of a strip: rows, those that come again, and the keys of each sheet."""
    rows, stack = room.design.grid.rows, []
    first, each = 1, _evenly(room, columns)
    while True:
        again = range(first, first + ROWS_AGAIN) if first > 1 else range(0)
        part = Part(range(first, min(rows, first + each - 1) + 1), columns)
        while not room.fits(part, room.keys(part)):
            part = Part(range(first, part.rows[-1] - 1), columns)
            if len(part.rows) < min(FEWEST_ROWS, rows):
                raise BadChoiceError("the keys of this design leave no room for its chart; use fewer colours")
        stack.append((part.rows, again, room.keys(part)))
        if part.rows[-1] >= rows:
            return stack
        first = part.rows[-1] + 1 - ROWS_AGAIN


def _evenly(room: _Room, columns: range) -> int:
    """Return how many rows each sheet of a strip has so that all are about as full; an even number."""
    rows = room.design.grid.rows
    counts = range(rows + rows % 2, FEWEST_ROWS, -2)
    held = bisect_left(counts, 1, key=lambda many: room.fits(Part(range(1, min(many, rows) + 1), columns), room.fixed))
    most = rows + rows % 2 - 2 * held
    if most >= rows:
        return most
    count = ceil((rows - ROWS_AGAIN) / (most - ROWS_AGAIN))
    each = ceil((rows - ROWS_AGAIN) / count) + ROWS_AGAIN
    return min(most, each + each % 2)


def keys_in(design: Design, part: Part) -> tuple[int, ...]:
    """Return the places of the beads that a part shows."""
    grid = design.grid
    rows = grid.row_slice(part.rows[0], part.rows[-1])
    columns = grid.column_of[rows]
    inside = (columns >= part.columns[0]) & (columns <= part.columns[-1])
    return tuple(np.unique(design.cells[rows][inside]).tolist())
