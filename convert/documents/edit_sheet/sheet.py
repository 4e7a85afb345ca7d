"""The sheet: where each bead lies on it, and the colours of a design whatever their sizes.

There is one place for each column, and one line for each pair of half-rows.

A bead covers two half-rows, and those of a column lie one under the other, two half-rows apart. So half of the
half-row from the top, rounded down, gives every bead of a column a line of its own, and the sheet is as wide as the
work has columns and as high as its longest column has beads. Every second column stands half a bead lower in the
work than on the sheet. Where a column is one bead shorter than its neighbours, the last line holds no bead.
"""

from collections.abc import Sequence

import numpy as np

from palettes.colour import lab_of_srgb
from palettes.colour_names import describe, numbered
from shared.arrays import Ints
from shared.colour import codes_from_hex
from shared.design import Bead, Design
from shared.grid import Grid
from shared.letters import letter_of, letters_after

MOST_PLACES = 6
"""At most this many places are named one by one."""


def sheet_shape(grid: Grid) -> tuple[int, int]:
    """Return lines and places of a sheet."""
    return (grid.rows + 1) // 2, grid.columns


def sheet_places(grid: Grid) -> tuple[Ints, Ints]:
    """Return the line and the place in it of each bead, both from 0, shape (beads,) each."""
    down, right = grid.place_of.T
    return down // 2, right


def on_sheet(grid: Grid, values: Ints, *, empty: int) -> Ints:
    """Lay a value for each bead on a sheet, with another where there is no bead, shape `sheet_shape`."""
    sheet = np.full(sheet_shape(grid), empty, dtype=np.int64)
    sheet[sheet_places(grid)] = values
    return sheet


def line_names(grid: Grid) -> tuple[str, ...]:
    """Name the rows of each line, the upper first: ``1+2``, ``3+4`` …"""
    rows = range(1, grid.rows + 1) if grid.start == "top" else range(grid.rows, 0, -1)
    return tuple("+".join(map(str, rows[first : first + 2])) for first in range(0, grid.rows, 2))


def column_names(grid: Grid) -> tuple[str, ...]:
    """Name the columns as one sees them from the left."""
    columns = range(1, grid.columns + 1) if grid.hand == "right" else range(grid.columns, 0, -1)
    return tuple(map(str, columns))


def place_words(grid: Grid, bead: int) -> str:
    """Say where a bead lies: ``row 12 column 3``."""
    return f"row {grid.row_of[bead]} column {grid.column_of[bead]}"


def places_words(grid: Grid, beads: Ints) -> str:
    """Say where some beads lie, the first of them one by one."""
    named = ", ".join(place_words(grid, bead) for bead in beads[:MOST_PLACES].tolist())
    return named if beads.size <= MOST_PLACES else f"{named} and {beads.size - MOST_PLACES:,} more"


def looks(design: Design) -> tuple[Bead, ...]:
    """Return a bead for each colour of a design, in the order in which they come up."""
    first: dict[tuple[str, str], Bead] = {}
    for bead in design.beads:
        first.setdefault((letter_of(bead.kind), bead.srgb), bead)
    return tuple(first.values())


def look_of_bead(design: Design) -> tuple[int, ...]:
    """Return for each bead of the list the place of its colour in `looks`."""
    places = {(letter_of(look.kind), look.srgb): place for place, look in enumerate(looks(design))}
    return tuple(places[letter_of(bead.kind), bead.srgb] for bead in design.beads)


def new_looks(design: Design, colours: Sequence[str]) -> tuple[Bead, ...]:
    """Make a bead of the flat size for each new ``#rrggbb``: the next letters, a name that no other has."""
    fresh = letters_after(letter_of(bead.kind) for bead in design.beads)
    codes = np.array([codes_from_hex(colour) for colour in colours], dtype=np.uint8).reshape(-1, 3)
    names = numbered(describe(codes), taken={bead.name for bead in design.beads})
    return tuple(
        Bead(next(fresh), design.bead_sizes.flat.name, colour, lab_of_srgb(colour), name)
        for colour, name in zip(colours, names, strict=True)
    )
