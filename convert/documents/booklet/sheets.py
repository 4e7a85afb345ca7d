"""The sheets that a chart is cut into: which rows and columns each shows, and at which scale."""

from math import ceil, floor
from typing import NamedTuple

from convert.documents.booklet.keys import KeyTable, key_table
from convert.documents.booklet.layout import Layout
from convert.draw.margins import Part
from convert.draw.part import part_extent
from shared.design import Design
from shared.errors import BadChoiceError

LEAST_BEAD_MM = 2.0
"""No bead of a chart is shorter or narrower on paper, unless asked."""

ROWS_AGAIN, COLUMNS_AGAIN = 4, 2
"""So many rows and columns come again on the next sheet."""

LARGEST_KEY = 0.35
"""Part of the page that the key of the whole design may take; else each sheet has the keys of its own beads."""

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


def cut_chart(design: Design, layout: Layout, *, least_bead_mm: float = LEAST_BEAD_MM) -> Cut:
    """Cut a chart into as few sheets as its pages hold.

    Raises
    ------
    BadChoiceError
        When a bead would be too large for the page, or the keys leave no room for the chart.
    """
    base = design.ladder.base
    least = least_bead_mm / min(base.length_mm, base.diameter_mm)
    strips = _strips(design, layout, least)
    widest = max(_width(design, columns) for columns in strips)
    enlargement = min(max(layout.most_enlarged, least), layout.line_mm / widest)
    table = key_table(design, layout)
    every = tuple(range(len(design.beads)))
    share = table.height_mm(every) / layout.column_mm
    fixed = every if share <= LARGEST_KEY else None
    sheets: list[Sheet] = []
    for place, columns in enumerate(strips):
        shared = range(columns[0], columns[0] + COLUMNS_AGAIN) if place else range(0)
        for rows, again, keys in _stack(design, layout, table, columns, enlargement, fixed):
            sheets.append(Sheet(Part(rows, columns), again, shared, keys))
    return Cut(tuple(sheets), enlargement, table)


def _width(design: Design, columns: range) -> float:
    return part_extent(design, Part(range(1, 3), columns)).width


def _strips(design: Design, layout: Layout, least: float) -> list[range]:
    """Cut the columns so that each strip fits the page at the least scale, all of them about as wide."""
    columns = design.grid.columns
    if _width(design, range(1, columns + 1)) * least <= layout.line_mm:
        return [range(1, columns + 1)]
    room = layout.line_mm / least - _width(design, range(1, 2)) + design.ladder.base.length_mm
    most = floor(room / design.ladder.base.length_mm)
    if most < 2 * COLUMNS_AGAIN + 2:
        raise BadChoiceError("beads so large leave no room for a chart on this paper; give a smaller --least-bead")
    count = ceil((columns - COLUMNS_AGAIN) / (most - COLUMNS_AGAIN))
    each = ceil((columns - COLUMNS_AGAIN) / count)
    each += each % 2
    firsts = range(1, columns - COLUMNS_AGAIN + 1, each)
    return [range(first, min(first + each + COLUMNS_AGAIN, columns + 1)) for first in firsts]


def _stack(
    design: Design, layout: Layout, table: KeyTable, columns: range, enlargement: float, fixed: tuple[int, ...] | None
) -> list[tuple[range, range, tuple[int, ...]]]:
    """Cut the rows of a strip: rows, those that come again, and the keys of each sheet."""
    rows, stack = design.grid.rows, []
    first = 1
    evenly = _evenly(design, layout, table, columns, enlargement, fixed)
    while True:
        again = range(first, first + ROWS_AGAIN) if first > 1 else range(0)
        last = min(rows, first + evenly - 1)
        keys = fixed or keys_in(design, Part(range(first, last + 1), columns))
        while not _fits(design, layout, table, Part(range(first, last + 1), columns), enlargement, keys):
            last -= 2
            if last - first + 1 < min(FEWEST_ROWS, rows):
                raise BadChoiceError("the keys of this design leave no room for its chart; use fewer colours")
            keys = fixed or keys_in(design, Part(range(first, last + 1), columns))
        stack.append((range(first, last + 1), again, keys))
        if last >= rows:
            return stack
        first = last + 1 - ROWS_AGAIN


def _evenly(
    design: Design, layout: Layout, table: KeyTable, columns: range, enlargement: float, fixed: tuple[int, ...] | None
) -> int:
    """Return how many rows each sheet of a strip has so that all are about as full; an even number."""
    rows = design.grid.rows
    most = rows + rows % 2
    while most > FEWEST_ROWS and not _fits(
        design, layout, table, Part(range(1, min(most, rows) + 1), columns), enlargement, fixed or ()
    ):
        most -= 2
    if most >= rows:
        return most
    count = ceil((rows - ROWS_AGAIN) / (most - ROWS_AGAIN))
    each = ceil((rows - ROWS_AGAIN) / count) + ROWS_AGAIN
    return min(most, each + each % 2)


def _fits(
    design: Design, layout: Layout, table: KeyTable, part: Part, enlargement: float, keys: tuple[int, ...]
) -> bool:
    room = layout.column_mm - table.caption_mm - (table.height_mm(keys) if keys else 0.0)
    return part_extent(design, part).height * enlargement <= room


def keys_in(design: Design, part: Part) -> tuple[int, ...]:
    """Return the places of the beads that a part shows."""
    grid = design.grid
    inside = (grid.row_of >= part.rows[0]) & (grid.row_of <= part.rows[-1])
    inside &= (grid.column_of >= part.columns[0]) & (grid.column_of <= part.columns[-1])
    return tuple(sorted(set(design.cells[inside].tolist())))
