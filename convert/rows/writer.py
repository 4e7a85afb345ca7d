"""A design written as word rows: a text that reads well and parses back exactly, and the same as a table."""

from collections.abc import Iterator, Sequence

from convert.rows.abbreviate import AbbreviatedRows, Reference, abbreviate_rows
from convert.rows.checkpoints import check_in_words
from convert.rows.row import RowOfWork, describe_work
from convert.rows.statements import ARROWS, DASH
from shared.csv_safe import table_csv
from shared.design import Bead, Design
from shared.grid import Grid
from shared.orientation import DIRECTION_WORDS

HEADER = ("line", "row", "direction", "beads", "runs", "turn", "note")
"""After these columns of the table comes one for each kind, with how many of it the row takes."""


def rows_text(design: Design, *, full: bool = False) -> str:
    """Write the word rows of a design; the same design gives the same text.

    Parameters
    ----------
    design
        Its source palettes and provenance are left out: rows do not carry them.
    full
        Write every row, also those that repeat earlier ones.

    Returns
    -------
    str
        Two comments (the title and the size of the work), one line ``start bottom`` when row 1 is the bottom of the
        picture, one ``two-drop`` for such work, a line for each bead, then a line for each row with its runs in needle
        order, a reference instead of rows that repeat earlier ones, and a comment for each checkpoint.
    """
    return write_rows(design, abbreviate_rows(design, full=full))


def write_rows(design: Design, work: AbbreviatedRows) -> str:
    """Write the same of a design of which is known what to write."""
    head = [f"# {design.title}", f"# {describe_work(design.grid)}", *write_settings(design.grid)]
    return "\n".join([*head, *map(write_bead, design.beads), *_lines(work)]) + "\n"


def write_settings(grid: Grid) -> list[str]:
    """Write what is other than usual, a line each: ``start bottom``, ``two-drop``."""
    settings = {"start bottom": grid.start == "bottom", "two-drop": grid.drop == 2}
    return [line for line, holds in settings.items() if holds]


def write_bead(bead: Bead) -> str:
    """Write a bead line: ``A: cylinder 11/0, deep slate (#2f4a5a)``."""
    return f"{bead.kind}: {bead.size}, {bead.name} ({bead.srgb})"


def write_row(row: RowOfWork) -> str:
    """Write one row: ``Row 3 ← 11: 1 A11, 9 B, 1 A11; odd-count turn``."""
    word = "Row" if len(row.rows) == 1 else "Rows"
    runs = ", ".join(map(str, row.runs))
    turn = "; odd-count turn" if row.odd_count_turn else ""
    return f"{word} {row.name} {ARROWS[row.direction]} {row.count}: {runs}{turn}"


def write_reference(one: Reference) -> str:
    """Write rows that equal earlier ones.

    Examples
    --------
    >>> write_reference(Reference(20, 67, 4, 19))
    'Rows 20–67: as rows 4–19'
    """
    return f"Rows {one.first}{DASH}{one.last}: as rows {one.source_first}{DASH}{one.source_last}"


def _lines(work: AbbreviatedRows) -> Iterator[str]:
    for line in work.lines:
        if isinstance(line, Reference):
            yield write_reference(line)
            continue
        if work.repeat is not None and line.rows[0] == work.repeat.first:
            yield f"# repeat: {work.repeat}"
        yield write_row(line)
        yield from (f"# check: {check_in_words(check)}" for check in line.checkpoints)


def rows_csv(design: Design, work: AbbreviatedRows) -> str:
    """Write the word rows of a design as CSV (RFC 4180).

    The first column tells what a line is: ``row``, ``repeat`` (rows that equal earlier ones) or ``check`` (what can be
    counted after the row above). Cells that a spreadsheet would run as a formula are made inert, and none looks like a
    date or a time of day, as ``4-19`` and ``4 A`` do.
    """
    kinds = [bead.kind for bead in design.beads]
    return table_csv([*HEADER, *kinds], [cells for line in work.lines for cells in _table_lines(line, kinds)])


def _table_lines(line: RowOfWork | Reference, kinds: Sequence[str]) -> Iterator[list[str]]:
    none = [""] * len(kinds)
    if isinstance(line, Reference):
        source = f"the same as rows {line.source_first} to {line.source_last}"
        yield ["repeat", f"{line.first} to {line.last}", "", "", "", "", source, *none]
        return
    totals = line.totals
    runs = ", ".join(f"{count}x {kind}" for count, kind in line.runs)
    turn = "odd-count" if line.odd_count_turn else "plain"
    counts = [str(totals.get(kind, "")) for kind in kinds]
    yield ["row", line.name, DIRECTION_WORDS[line.direction], str(line.count), runs, turn, "", *counts]
    for check in line.checkpoints:
        yield ["check", line.name, "", "", "", "", check_in_words(check), *none]
