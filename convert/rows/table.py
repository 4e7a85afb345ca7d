"""Word rows as a table for a spreadsheet."""

from collections.abc import Iterator, Sequence

from convert.rows.abbreviate import Reference, Written
from convert.rows.check_words import check_in_words
from convert.rows.row import RowOfWork
from shared.csv_safe import table_csv
from shared.design import Design
from shared.orientation import DIRECTION_WORDS

HEADER = ("kind", "row", "way", "beads", "runs", "turn", "note")
"""After these comes a column for each key, with how many of it the row takes."""


def rows_csv(design: Design, work: Written) -> str:
    """Write the word rows of a design as CSV (RFC 4180).

    The first column tells what a line is: ``row``, ``repeat`` (rows that equal earlier ones) or ``check`` (what can be
    counted after the row above). Cells that a spreadsheet would run as a formula are made inert, and none looks like a
    date or a time of day, as ``4-19`` and ``4 A`` do.

    Parameters
    ----------
    design
        Any.
    work
        What to write of it.
    """
    keys = [bead.kind for bead in design.beads]
    return table_csv([*HEADER, *keys], [cells for line in work.lines for cells in _lines(line, keys)])


def _lines(line: RowOfWork | Reference, keys: Sequence[str]) -> Iterator[list[str]]:
    none = [""] * len(keys)
    if isinstance(line, Reference):
        source = f"the same as rows {line.source_first} to {line.source_last}"
        yield ["repeat", f"{line.first} to {line.last}", "", "", "", "", source, *none]
        return
    totals = line.totals
    runs = ", ".join(f"{count}x {key}" for count, key in line.runs)
    turn = "odd-count" if line.odd_count_turn else "plain"
    yield [
        "row",
        line.name,
        DIRECTION_WORDS[line.direction],
        str(line.count),
        runs,
        turn,
        "",
        *(str(totals.get(key, "")) for key in keys),
    ]
    for check in line.checkpoints:
        yield ["check", line.name, "", "", "", "", check_in_words(check), *none]
