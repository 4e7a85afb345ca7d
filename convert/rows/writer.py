"""Word rows: a design written as text that reads well and parses back exactly."""

from collections.abc import Iterator

from convert.rows.abbreviate import Reference, Written, written
from convert.rows.check_words import check_in_words
from convert.rows.find_repeat import Repeat
from convert.rows.row import RowOfWork
from shared.design import Design
from shared.grid import Grid
from shared.plural import counted


def rows_text(design: Design, *, full: bool = False) -> str:
    """Write the word rows of a design; the same design gives the same text.

    Parameters
    ----------
    design
        Its source palettes and provenance are left out: rows do not carry them.
    full
        Write every row, also those that come round again.

    Returns
    -------
    str
        Two comments (the title and the kind of work), one line ``start bottom`` when row 1 is the bottom of the
        picture, one ``two-drop`` for such work, a line for each bead, then a line for each entry of `Grid.entries` with
        its runs in needle order, a reference instead of rows that come round again, and a comment for each checkpoint.
    """
    return text_of(design, written(design, full=full))


def text_of(design: Design, work: Written) -> str:
    """Write the same of a design of which is known what to write."""
    grid = design.grid
    lines = [f"# {design.title}", f"# {kind_of_work(grid)}"]
    if grid.start == "bottom":
        lines.append("start bottom")
    if grid.drop == 2:
        lines.append("two-drop")
    lines += [f"bead {bead.kind} = {bead.size} {bead.srgb} {bead.name}" for bead in design.beads]
    return "\n".join([*lines, *_row_lines(work)]) + "\n"


def kind_of_work(grid: Grid) -> str:
    """Say what kind of work it is.

    Examples
    --------
    >>> kind_of_work(Grid(21, 160))
    '21 columns, 160 rows, odd-count flat peyote, tail at left'
    """
    side = "left" if grid.hand == "right" else "right"
    return f"{counted(grid.columns, 'column')}, {grid.rows} rows, {grid.full_name}, tail at {side}"


def _row_lines(work: Written) -> Iterator[str]:
    for line in work.lines:
        if isinstance(line, Reference):
            yield str(line)
            continue
        if work.repeat is not None and line.rows[0] == work.repeat.first:
            yield f"# {_repeat_in_words(work.repeat)}"
        yield row_line(line)
        yield from (f"# check: {check_in_words(check)}" for check in line.checkpoints)


def row_line(entry: RowOfWork) -> str:
    """Write one entry: ``3 < 11: 1 A11, 9 B, 1 A11; odd-count turn``."""
    runs = ", ".join(map(str, entry.runs))
    turn = "; odd-count turn" if entry.odd_count_turn else ""
    return f"{entry.name} {entry.direction} {entry.count}: {runs}".rstrip() + turn


def _repeat_in_words(repeat: Repeat) -> str:
    return f"repeat: rows {repeat.first} to {repeat.last} are one round of {repeat.period} rows"
