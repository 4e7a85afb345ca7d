"""A design put together from the statements of word rows in which there is no mistake."""

from collections.abc import Iterator, Sequence

import numpy as np

from convert.rows.row_checks import Frame
from convert.rows.statements import (
    CommentLine,
    DropLine,
    Mistake,
    RepeatLine,
    RowLine,
    StartLine,
    Statement,
    UnreadLine,
)
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.design import Bead, Design
from shared.grid import Grid
from shared.orientation import Start

UNTITLED = "Untitled"
"""The title of rows before which no comment stands."""


def find_title(statements: Sequence[Statement]) -> CommentLine:
    """Return the first comment with words that stands before the rows."""
    for line in statements:
        if isinstance(line, CommentLine) and line.text:
            return line
        if isinstance(line, RowLine | RepeatLine):
            break
    return CommentLine(1, UNTITLED)


def heading_mistakes(statements: Sequence[Statement]) -> Iterator[Mistake]:
    """Name what is wrong with the title, the start and the drop."""
    title = find_title(statements)
    if not title.text.isprintable():
        yield Mistake(title.line, "the title holds an unprintable character; type it anew")
    for kind, word in ((StartLine, "start"), (DropLine, "the drop")):
        lines = [line.line for line in statements if isinstance(line, kind)]
        for line in lines[1:]:
            yield Mistake(line, f"{word} is also given on line {lines[0]}; delete one of them")
    for unread in statements:
        if isinstance(unread, UnreadLine) and unread.meant == "start":
            yield Mistake(unread.line, unread.message)


def find_drop(statements: Sequence[Statement]) -> int:
    """Return the drop that a line gives, 1 where none does."""
    return next((line.drop for line in statements if isinstance(line, DropLine)), 1)


def find_start(statements: Sequence[Statement]) -> Start:
    """Return the start that a line gives, top where none does."""
    return next((line.start for line in statements if isinstance(line, StartLine)), "top")


def assemble(
    statements: Sequence[Statement], *, beads: tuple[Bead, ...], frame: Frame, rows: int, bead_sizes: BeadSizes
) -> Design:
    """Put a design together.

    Parameters
    ----------
    statements
        Free of mistakes, one with another.
    beads
        Of the bead lines.
    frame
        With both its parts known.
    rows
        R, the last row given.
    ladder
        The sizes.

    Raises
    ------
    BadChoiceError
        When the work is too large.
    """
    grid = frame.work(rows, find_start(statements))
    entries = [line for line in statements if isinstance(line, RowLine | RepeatLine)]
    cells = np.empty(grid.count, np.int64)
    cells[grid.needle_order] = _along_needle(entries, beads, grid)
    return Design(find_title(statements).text, grid, bead_sizes, beads, cells)


def _along_needle(entries: Sequence[RowLine | RepeatLine], beads: tuple[Bead, ...], grid: Grid) -> Ints:
    """Lay the runs along the path of the needle; a repeat copies a stretch that was laid before."""
    written = _written([entry for entry in entries if isinstance(entry, RowLine)], beads)
    path = np.empty(grid.count, np.int64)
    used = 0
    for entry in entries:
        if isinstance(entry, RowLine):
            stretch = _stretch(grid, entry.rows[0], entry.rows[-1])
            size = stretch.stop - stretch.start
            path[stretch] = written[used : used + size]
            used += size
        else:
            source = path[_stretch(grid, entry.source_first, entry.source_last)]
            stretch = _stretch(grid, entry.first, entry.last)
            path[stretch] = np.tile(source, entry.rounds)
    return path


def _written(rows: Sequence[RowLine], beads: tuple[Bead, ...]) -> Ints:
    """Return the beads of all rows that are written out, one after another in needle order."""
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    places = [place_of[key] for row in rows for key in row.keys]
    return np.repeat(np.array(places, np.int64), [count for row in rows for count in row.counts])


def _stretch(grid: Grid, first: int, last: int) -> slice:
    """Return where rows lie along the path of the needle."""
    return grid.row_slice(first, last)
