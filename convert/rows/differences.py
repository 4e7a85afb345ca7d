"""What word rows have other than a design: the kind of work, bead lines, and beads one by one."""

from collections.abc import Iterator

import numpy as np

from convert.rows.assemble import LaidBeads
from convert.rows.parser import RowsRead
from convert.rows.statements import (
    BeadLine,
    CommentLine,
    DropLine,
    Mistake,
    StartLine,
    UnreadLine,
    name_rows,
)
from convert.rows.writer import write_bead
from shared.design import Bead, Design
from shared.grid import Grid
from shared.orientation import DIRECTION_WORDS
from shared.plural import listed


def find_differences(reading: RowsRead, laid: LaidBeads | None, against: Design) -> Iterator[Mistake]:
    """Name every difference between word rows and a design.

    Parameters
    ----------
    laid
        The work, as far as it is known; None when nothing is.
    """
    yield from _bead_lines(reading, laid.beads if laid else (), against)
    if laid is None:
        return
    strung = reading.line_of(1)
    yield from (Mistake(strung, message) for message in _kind_of_work(laid.grid, against.grid))
    yield from _headings(reading, laid.grid, against.grid, strung)
    yield from _row_count(reading, laid.grid.rows, against.grid.rows)
    if (laid.grid.columns, laid.grid.drop) == (against.grid.columns, against.grid.drop):
        yield from _beads(reading, laid, against)


def _kind_of_work(grid: Grid, wanted: Grid) -> Iterator[str]:
    if grid.columns != wanted.columns:
        yield f"the rows make {grid.columns} columns where the design has {wanted.columns}; correct rows 1+2"
    if grid.hand != wanted.hand:
        own, other = (DIRECTION_WORDS[each.entries[0].direction] for each in (grid, wanted))
        yield f"the needle runs {own} in rows 1+2, but in the design {other}; correct the arrows"


def _headings(reading: RowsRead, grid: Grid, wanted: Grid, strung: int) -> Iterator[Mistake]:
    if grid.start != wanted.start:
        message = f"row 1 is the {grid.start} of the picture, but in the design the {wanted.start}"
        yield Mistake(_heading_line(reading, "start", strung), f"{message}; write start {wanted.start}")
    if grid.drop != wanted.drop:
        message = f"the rows make {grid.name} where the design is {wanted.name}"
        word = "two-drop" if wanted.drop == 2 else "one-drop"
        yield Mistake(_heading_line(reading, "drop", strung), f"{message}; write {word} on a line of its own")


def _heading_line(reading: RowsRead, word: str, strung: int) -> int:
    """Return the line that says it, or else the last comment above that does, or else that of rows 1 and 2."""
    said = {"start": StartLine, "drop": DropLine}[word]
    lines = [line.line for line in reading.statements if isinstance(line, said)]
    lines += [
        line.line
        for line in reading.statements[::-1]
        if isinstance(line, CommentLine) and word in line.text.lower() and line.line < strung
    ]
    return next(iter(lines), strung)


def _row_count(reading: RowsRead, rows: int, wanted: int) -> Iterator[Mistake]:
    if rows < wanted:
        verb, them = ("is", "it") if rows + 1 == wanted else ("are", "them")
        last = reading.statements[-1].line
        yield Mistake(last, f"{name_rows(rows + 1, wanted)} of the design {verb} missing; add {them} at the end")
    for span in reading.spans:
        if span.last > wanted:
            name = name_rows(max(span.first, wanted + 1), span.last)
            yield Mistake(span.line, f"the design ends with row {wanted}; take out {name}")


def _bead_lines(reading: RowsRead, beads: tuple[Bead, ...], against: Design) -> Iterator[Mistake]:
    line_of = {line.kind: line.line for line in reading.statements if isinstance(line, BeadLine)}
    wanted = {bead.kind: bead for bead in against.beads}
    for bead in beads:
        other = wanted.get(bead.kind)
        if other is None:
            yield Mistake(
                line_of[bead.kind], f"the design has no bead {bead.kind}; correct its letter or delete the line"
            )
        elif write_bead(bead) != write_bead(other):
            message = f"the line says {write_bead(bead)}, but the design {write_bead(other)}; correct one of them"
            yield Mistake(line_of[bead.kind], message)
    unread = {line.kind for line in reading.statements if isinstance(line, UnreadLine) and line.meant == "bead"}
    line = max(1, min(line_of.values(), default=1) - 1)
    for kind, bead in wanted.items():
        line = line_of.get(kind, line + 1)
        if not {kind, ""} & (unread | line_of.keys()):
            yield Mistake(line, f"bead {kind} of the design has no line here; add {write_bead(bead)}")


def _beads(reading: RowsRead, laid: LaidBeads, against: Design) -> Iterator[Mistake]:
    """Name each bead that is another, those of a row with the same two kinds together.

    A row that repeats the mistakes of the row written for it is named with that one.
    """
    cases, written = _cases(laid, against), reading.written_rows(laid.grid.rows)
    again: dict[tuple[int, str, str], list[str]] = {}
    for (row, kind, wanted), columns in cases.items():
        source = written[row], kind, wanted
        if source[0] != row and cases.get(source) == columns:
            again.setdefault(source, []).append(str(row))
    for (row, kind, wanted), columns in cases.items():
        if str(row) in again.get((written[row], kind, wanted), ()):
            continue
        where = f"column {columns[0]}" if len(columns) == 1 else f"columns {listed(columns)}"
        verb = "stands" if len(columns) == 1 else "stand"
        rows = again.get((row, kind, wanted), [])
        also = (
            f", as in row{'s' if len(rows) > 1 else ''} {listed(rows)}, which repeat{'' if len(rows) > 1 else 's'} it"
            if rows
            else ""
        )
        yield Mistake(
            reading.line_of(row), f"row {row}, {where}: {kind} {verb} where {wanted} belongs{also}; correct the run"
        )


def _cases(laid: LaidBeads, against: Design) -> dict[tuple[int, str, str], list[str]]:
    """Return the columns of each row on which one kind stands where another belongs."""
    shared = min(laid.cells.size, against.cells.size)
    stands = np.array(laid.kinds[:shared], dtype=object)
    belongs = np.array([bead.kind for bead in against.beads], dtype=object)[against.cells[:shared]]
    cases: dict[tuple[int, str, str], list[str]] = {}
    for bead in ((stands != belongs) & (stands != "")).nonzero()[0].tolist():
        case = int(laid.grid.row_of[bead]), stands[bead], belongs[bead]
        cases.setdefault(case, []).append(str(laid.grid.column_of[bead]))
    return cases
