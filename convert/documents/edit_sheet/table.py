"""A sheet as a table for a spreadsheet: the kind of each bead (CSV, RFC 4180)."""

import csv
import io
import re

import numpy as np

from convert.documents.edit_sheet.edit import Edited, apply_edits
from convert.documents.edit_sheet.sheet import column_names, in_size, line_names, looks, on_sheet, sheet_shape
from shared.csv_safe import restore, table_csv
from shared.design import Bead, Design, letter_of
from shared.errors import BadFileError, MistakesError

CORNER = "rows"
"""What stands over the names of lines."""

_KEY = re.compile(r"[A-Z]+\d*")
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
    table = _cells(text, design, source)
    beads = list(design.beads)
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    cells = design.cells.copy()
    sheet = on_sheet(design.grid, np.arange(design.grid.count), empty=-1).tolist()
    mistakes = []
    for line, (numbers, kinds) in enumerate(zip(sheet, table, strict=True), start=2):
        for place, (cell, kind) in enumerate(zip(numbers, kinds, strict=True)):
            where = f"line {line}, column {column_names(design.grid)[place]}"
            if (mistake := _mistake(kind, cell, design, place_of)) is not None:
                mistakes.append(f"{where}: {mistake}")
            elif cell >= 0:
                if kind not in place_of:
                    place_of[kind] = len(beads)
                    beads.append(_new_size(kind, design))
                cells[cell] = place_of[kind]
    if mistakes:
        more = [f"and {len(mistakes) - _MOST:,} more"] if len(mistakes) > _MOST else []
        raise MistakesError([*mistakes[:_MOST], *more], where=[source])
    return apply_edits(design, beads, cells)


def _cells(text: str, design: Design, source: str) -> list[list[str]]:
    """Return the kinds of each line, once names and numbers of lines and columns are as they were."""
    first = text.split("\n", 1)[0]
    separator = max(",;\t", key=first.count)
    try:
        lines = [
            [restore(cell).strip() for cell in row]
            for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        ]
    except csv.Error as error:
        raise BadFileError(f"is no table ({error}); save the sheet as CSV", where=[source]) from error
    lines = [_trim(line, design.grid.columns + 1) for line in lines if any(line)]
    header = [CORNER, *column_names(design.grid)]
    if not lines or [cell.lower() for cell in lines[0]] != header:
        raise BadFileError(
            f"does not begin with the line {CORNER}, {header[1]} … {header[-1]}; "
            "leave that line and the columns as they were",
            where=[source],
        )
    count = sheet_shape(design.grid)[0]
    if len(lines) != count + 1:
        raise BadFileError(
            f"has {len(lines) - 1} lines of beads where {count} belong; leave the lines as they were", where=[source]
        )
    mistakes = [mistake for number, line in enumerate(lines[1:]) for mistake in _line_mistakes(number, line, design)]
    if mistakes:
        raise MistakesError(mistakes[:_MOST], where=[source])
    return [[kind.upper() for kind in line[1:]] for line in lines[1:]]


def _trim(line: list[str], width: int) -> list[str]:
    """Leave out empty cells beyond the sheet, and add those that a spreadsheet left out at the end."""
    while len(line) > width and not line[-1]:
        line = line[:-1]
    return line + [""] * (width - len(line))


def _line_mistakes(number: int, line: list[str], design: Design) -> list[str]:
    name = line_names(design.grid)[number]
    if line[0] != name:
        return [f"line {number + 2}: begins with '{line[0][:20]}' where {name} belongs; put the lines back in order"]
    if len(line) > design.grid.columns + 1:
        return [f"line {number + 2}: has {len(line) - 1} cells where {design.grid.columns} belong; correct that line"]
    return []


def _mistake(kind: str, cell: int, design: Design, known: dict[str, int]) -> str | None:
    if cell < 0:
        return f"there is no bead here, but the cell holds '{kind[:20]}'; empty it" if kind else None
    if kind in known:
        return None
    if not kind:
        return "the cell is empty; write the kind of a bead"
    letters = {letter_of(bead.kind) for bead in design.beads}
    if not _KEY.fullmatch(kind) or letter_of(kind) not in letters:
        known_letters = ", ".join(sorted(letters, key=lambda text: (len(text), text)))
        return f"'{kind[:20]}' is no kind of this design; its colours are {known_letters}"
    if kind[len(letter_of(kind)) :] not in design.bead_sizes.marks:
        marks = ", ".join(letter_of(kind) + mark for mark in design.bead_sizes.marks)
        return f"'{kind[:20]}' has a size that the design lacks; write one of {marks}"
    return None


def _new_size(kind: str, design: Design) -> Bead:
    """Return a colour of the design in a size that it was not used in yet."""
    look = next(look for look in looks(design) if letter_of(look.kind) == letter_of(kind))
    return in_size(look, design.bead_sizes.marks.index(kind[len(letter_of(kind)) :]), design)
