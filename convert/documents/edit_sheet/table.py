"""A sheet as a table for a spreadsheet: the key of each bead (CSV, RFC 4180)."""

import csv
import io
import re

import numpy as np

from convert.documents.edit_sheet.edit import Edited, edited
from convert.documents.edit_sheet.layout import column_names, line_names, on_sheet, sheet_shape
from convert.documents.edit_sheet.looks import in_size, looks
from shared.csv_safe import restore, table_csv
from shared.design import Bead, Design, letter_of
from shared.errors import BadFileError, MistakesError

CORNER = "rows"
"""What stands over the names of lines."""

_KEY = re.compile(r"[A-Z]+\d*")
_MOST = 20
"""So many mistakes are named one by one."""


def sheet_csv(design: Design) -> str:
    """Write a design as a table, see `convert.documents.edit_sheet.layout`: names of columns and rows around the keys."""
    keys = [*(bead.kind for bead in design.beads), ""]
    lines = [[keys[cell] for cell in line] for line in on_sheet(design.grid, design.cells, empty=-1).tolist()]
    rows = [(name, *line) for name, line in zip(line_names(design.grid), lines, strict=True)]
    return table_csv((CORNER, *column_names(design.grid)), rows)


def read_sheet_csv(text: str, design: Design, *, source: str) -> Edited:
    """Read an edited table back into its design.

    The key tells colour and size: a colour of the design in any size of its ladder. Letter case and blanks do not
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
    for line, (numbers, keys) in enumerate(zip(sheet, table, strict=True), start=2):
        for place, (cell, key) in enumerate(zip(numbers, keys, strict=True)):
            where = f"line {line}, column {column_names(design.grid)[place]}"
            if (complaint := _complaint(key, cell, design, place_of)) is not None:
                mistakes.append(f"{where}: {complaint}")
            elif cell >= 0:
                if key not in place_of:
                    place_of[key] = len(beads)
                    beads.append(_new_size(key, design))
                cells[cell] = place_of[key]
    if mistakes:
        more = [f"and {len(mistakes) - _MOST:,} more"] if len(mistakes) > _MOST else []
        raise MistakesError([*mistakes[:_MOST], *more], where=[source])
    return edited(design, beads, cells)


def _cells(text: str, design: Design, source: str) -> list[list[str]]:
    """Return the keys of each line, once names and numbers of lines and columns are as they were."""
    first = text.split("\n", 1)[0]
    separator = max(",;\t", key=first.count)
    try:
        lines = [
            [restore(cell).strip() for cell in row]
            for row in csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        ]
    except csv.Error as error:
        raise BadFileError(f"is no table ({error}); save the sheet as CSV", where=[source]) from error
    lines = [_trimmed(line, design.grid.columns + 1) for line in lines if any(line)]
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
    return [[key.upper() for key in line[1:]] for line in lines[1:]]


def _trimmed(line: list[str], width: int) -> list[str]:
    """Leave out empty cells beyond the sheet, and add those that a spreadsheet left out at the end."""
    while len(line) > width and not line[-1]:
        line = line[:-1]
    return line + [""] * (width - len(line))


def _line_mistakes(number: int, line: list[str], design: Design) -> list[str]:
    name = line_names(design.grid)[number]
    if line[0] != name:
        return [f"line {number + 2}: begins with '{line[0][:20]}' where {name} belongs; put the lines back in order"]
    if len(line) > design.grid.columns + 1:
        return [f"line {number + 2}: has {len(line) - 1} cells where {design.grid.columns} belong; mend that line"]
    return []


def _complaint(key: str, cell: int, design: Design, known: dict[str, int]) -> str | None:
    if cell < 0:
        return f"there is no bead here, but the cell holds '{key[:20]}'; empty it" if key else None
    if key in known:
        return None
    if not key:
        return "the cell is empty; write the key of a bead"
    letters = {letter_of(bead.kind) for bead in design.beads}
    if not _KEY.fullmatch(key) or letter_of(key) not in letters:
        known_letters = ", ".join(sorted(letters, key=lambda text: (len(text), text)))
        return f"'{key[:20]}' is no key of this design; its colours are {known_letters}"
    if key[len(letter_of(key)) :] not in design.bead_sizes.marks:
        marks = ", ".join(letter_of(key) + mark for mark in design.bead_sizes.marks)
        return f"'{key[:20]}' has a size that the ladder lacks; write one of {marks}"
    return None


def _new_size(key: str, design: Design) -> Bead:
    """Return a colour of the design in a size that it was not used in yet."""
    look = next(look for look in looks(design) if letter_of(look.kind) == letter_of(key))
    return in_size(look, design.bead_sizes.marks.index(key[len(letter_of(key)) :]), design)
