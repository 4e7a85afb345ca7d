"""A sheet as a table for a spreadsheet: the kind of each bead (CSV, RFC 4180)."""

import re

import numpy as np

from convert.documents.edit_sheet.edit import Edited, apply_edits
from convert.documents.edit_sheet.sheet import column_names, line_names, looks, on_sheet
from palettes.formats.table import Mistakes, Row, read_table
from shared.csv_safe import table_csv
from shared.design import Bead, Design, in_size
from shared.errors import BadFileError, MistakesError
from shared.letters import letter_of

CORNER = "rows"
"""What stands over the names of lines."""

_KIND = re.compile(r"[A-Z]+\d*")
_MOST = 20
"""At most this many mistakes are named one by one."""


def sheet_csv(design: Design) -> str:
    """Write kinds as a table, laid out as `convert.documents.edit_sheet.sheet` says, with names around."""
    kinds = [*(bead.kind for bead in design.beads), ""]
    lines = [[kinds[cell] for cell in line] for line in on_sheet(design.grid, design.cells, empty=-1).tolist()]
    rows = [(name, *line) for name, line in zip(line_names(design.grid), lines, strict=True)]
    return table_csv((CORNER, *column_names(design.grid)), rows)


def read_sheet_csv(text: str, design: Design, *, source: str) -> Edited:
    """Read an edited table back into its design.

    The kind tells colour and size: a colour of the design in any of its bead sizes. Letter case and blanks do not
    matter, and semicolons or tabs may part the cells, as spreadsheets write them.

    Raises
    ------
    BadFileError
        When it is no such table, with every mistake and its place.
    """
    rows = _rows(text, design, source)
    beads = list(design.beads)
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    cells = design.cells.copy()
    sheet = on_sheet(design.grid, np.arange(design.grid.count), empty=-1).tolist()
    mistakes = []
    for row, numbers in zip(rows, sheet, strict=True):
        for column, cell in zip(column_names(design.grid), numbers, strict=True):
            kind = row.text(column).upper()
            if (mistake := _mistake(kind, cell, design, place_of)) is not None:
                mistakes.append(f"line {row.line}, column {column}: {mistake}")
            elif cell >= 0:
                if kind not in place_of:
                    place_of[kind] = len(beads)
                    beads.append(_new_size(kind, design))
                cells[cell] = place_of[kind]
    if mistakes:
        more = [f"and {len(mistakes) - _MOST:,} more"] if len(mistakes) > _MOST else []
        raise MistakesError([*mistakes[:_MOST], *more], where=[source])
    return apply_edits(design, beads, cells)


def _rows(text: str, design: Design, source: str) -> tuple[Row, ...]:
    """Return the lines of a table, once names and numbers of lines and columns are as they were."""
    header, names = (CORNER, *column_names(design.grid)), line_names(design.grid)
    mistakes = Mistakes()
    table = read_table(text, {name: name for name in header}, mistakes)
    if table.columns != header or table.notices:
        raise BadFileError(
            f"does not begin with the line {CORNER}, {header[1]} … {header[-1]}; "
            "leave that line and the columns as they were",
            where=[source],
        )
    mistakes.raise_if_any(source)
    if len(table.rows) != len(names):
        raise BadFileError(
            f"has {len(table.rows)} lines of beads where {len(names)} belong; leave the lines as they were",
            where=[source],
        )
    for row, name in zip(table.rows, names, strict=True):
        if row.text(CORNER) != name:
            first = row.text(CORNER)[:20]
            mistakes.add(row.line, f"begins with '{first}' where {name} belongs; put the lines back in order")
    del mistakes.found[_MOST:]
    mistakes.raise_if_any(source)
    return table.rows


def _mistake(kind: str, cell: int, design: Design, known: dict[str, int]) -> str | None:
    if cell < 0:
        return f"there is no bead here, but the cell holds '{kind[:20]}'; empty it" if kind else None
    if kind in known:
        return None
    if not kind:
        return "the cell is empty; write the kind of a bead"
    letters = {letter_of(bead.kind) for bead in design.beads}
    if not _KIND.fullmatch(kind) or letter_of(kind) not in letters:
        known_letters = ", ".join(sorted(letters, key=lambda text: (len(text), text)))
        return f"'{kind[:20]}' is no kind of this design; its colours are {known_letters}"
    if kind[len(letter_of(kind)) :] not in design.bead_sizes.marks:
        marks = ", ".join(letter_of(kind) + mark for mark in design.bead_sizes.marks)
        return f"'{kind[:20]}' has a size that the design lacks; write one of {marks}"
    return None


def _new_size(kind: str, design: Design) -> Bead:
    """Return a colour of the design in a size that it was not used in yet."""
    look = next(look for look in looks(design) if letter_of(look.kind) == letter_of(kind))
    return in_size(look, design.bead_sizes.marks.index(kind[len(letter_of(kind)) :]), design.bead_sizes)
