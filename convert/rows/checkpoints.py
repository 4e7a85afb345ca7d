"""Checkpoints: where a dome begins, peaks and ends, and how many flat beads lie between it and the next one."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints
from shared.design import Design
from shared.domes import domes_of, raised_beads
from shared.grid import Contact, Grid
from shared.plural import counted, listed

Bools = NDArray[np.bool_]

Moment = Literal["begins", "peaks", "ends"]


class Gap(NamedTuple):
    """Flat beads in a line."""

    beads: int
    to: Literal["edge", "dome"]


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """An entry of the word rows after which to stop and count.

    Parameters
    ----------
    rows
        The line of the word rows: ``(1, 2)``, then ``(3,)``, ``(4,)`` …
    moments
        What the dome does there; a low one may begin, peak and end in the same row.
    columns
        First and last column of the whole dome.
    dome_rows
        First and last row of it.
    raised
        How many of its beads lie in this entry.
    before, after
        The flat beads next to it in this entry, as the needle takes them.
    column
        The column in which ``since`` and ``until`` are counted: through the middle of its beads here.
    since
        The flat beads back along the column, where the dome begins; None elsewhere.
    until
        The flat beads to come in the column, where it ends; None elsewhere.
    repeats
        The repeats, from 1, in which it holds, where it is told for several at once and not for all.
    of_repeats
        How many repeats have that row; 0 where ``repeats`` says nothing.
    last_is_whole
        Whether the last repeat is a whole one. Where it is not, some rows lack it, so that "the last" could mean
        either: repeats are then told by their numbers.
    """

    rows: tuple[int, ...]
    moments: tuple[Moment, ...]
    columns: tuple[int, int]
    dome_rows: tuple[int, int]
    raised: int
    top_size: str
    before: Gap
    after: Gap
    column: int
    since: Gap | None
    until: Gap | None
    repeats: tuple[int, ...] = ()
    of_repeats: int = 0
    last_is_whole: bool = True


def find_checkpoints(design: Design) -> tuple[Checkpoint, ...]:
    """Find the checkpoints of a design.

    Domes are those of the predicted surface: beads above the ground that hang together as neighbours, parted where they
    have tops far from each other. A dome peaks in the middle one of the rows that hold its largest beads. Raised beads
    in a single entry are no dome to follow, and have no checkpoint.

    Returns
    -------
    tuple
        In the order of the rows, then from the tail side.
    """
    raised = raised_beads(design.levels)
    found = [one for dome in domes_of(design.grid, design.levels) for one in _of_dome(design, raised, dome)]
    return tuple(sorted(found, key=lambda one: (one.rows, one.columns, one.dome_rows)))


def _of_dome(design: Design, raised: Bools, dome: Ints) -> list[Checkpoint]:
    grid, levels = design.grid, design.levels
    rows = grid.row_of[dome]
    top = levels[dome].max()
    top_rows = np.unique(rows[levels[dome] == top])
    ends = int(rows[0]), int(rows[-1])
    moments: tuple[tuple[Moment, int], ...] = (
        ("begins", ends[0]),
        ("peaks", int(top_rows[(top_rows.size - 1) // 2])),
        ("ends", ends[1]),
    )
    entry_of = {row: grid.entry_of[row].rows for _, row in moments}
    entries = dict.fromkeys(entry_of.values())
    return [
        _checkpoint(design, raised, dome, entry, tuple(moment for moment, row in moments if entry_of[row] == entry))
        for entry in (entries if len(entries) > 1 else ())
    ]


def _checkpoint(
    design: Design, raised: Bools, dome: Ints, entry: tuple[int, ...], moments: tuple[Moment, ...]
) -> Checkpoint:
    grid = design.grid
    columns, rows = grid.column_of[dome], grid.row_of[dome]
    line = grid.entry_of[entry[0]].beads
    places = np.isin(line, dome).nonzero()[0]
    here = np.sort(line[places])
    here = here[grid.row_of[here] == grid.row_of[here[-1]]]  # of rows 1 and 2 row 2, where it has beads of the dome
    middle = int(here[here.size // 2])
    return Checkpoint(
        rows=entry,
        moments=moments,
        columns=(int(columns.min()), int(columns.max())),
        dome_rows=(int(rows[0]), int(rows[-1])),
        raised=places.size,
        top_size=design.bead_sizes.sizes[int(design.levels[dome].max())].name,
        before=_along(raised[line[: places[0]]][::-1]),
        after=_along(raised[line[places[-1] + 1 :]]),
        column=int(grid.column_of[middle]),
        since=_in_column(grid, raised, middle, Contact.EARLIER) if "begins" in moments else None,
        until=_in_column(grid, raised, middle, Contact.LATER) if "ends" in moments else None,
    )


def _along(raised: Bools) -> Gap:
    """Count the flat beads that come first in a line."""
    if not raised.any():
        return Gap(raised.size, "edge")
    return Gap(int(raised.argmax()), "dome")


def _in_column(grid: Grid, raised: Bools, bead: int, step: Contact) -> Gap:
    """Count the flat beads next to a bead in its column."""
    beads = 0
    bead = int(grid.neighbours[bead, step])
    while bead >= 0 and not raised[bead]:
        beads += 1
        bead = int(grid.neighbours[bead, step])
    return Gap(beads, "edge" if bead < 0 else "dome")


_SINCE = {"edge": "from the first row on", "dome": "since the dome before"}


def check_in_words(check: Checkpoint) -> str:
    """Say what a checkpoint is and what to count there, without a stop at the end.

    Examples
    --------
    >>> dome = {"columns": (5, 9), "dome_rows": (12, 20), "raised": 2, "top_size": "round 8/0", "column": 7}
    >>> check_in_words(Checkpoint(rows=(20,), moments=("ends",), **dome, before=Gap(3, "edge"), after=Gap(4, "dome"),
    ...     since=None, until=Gap(6, "edge")))
    'a dome ends on columns 5 to 9: 3 flat beads, then the dome, then 4 to the next dome'
    """
    parts = [f"{_event(check)}: {_along_row(check)}", *_back(check)]
    if check.until is not None and check.until.to == "dome":
        parts.append(f"the next dome in column {check.column} begins after {counted(check.until.beads, 'flat bead')}")
    told = "; ".join(parts)
    return f"{_in_repeats(check)}, {told}" if check.repeats else told


def _back(check: Checkpoint) -> Iterator[str]:
    """Say what lies back along the column; nothing where that is the first row itself."""
    if check.since is None or check.since == Gap(0, "edge"):
        return
    beads = counted(check.since.beads, "flat bead")
    yield f"{beads} in column {check.column} {_SINCE[check.since.to]}"


def _in_repeats(check: Checkpoint) -> str:
    """Say in which repeats a checkpoint holds."""
    repeats, last = check.repeats, check.of_repeats
    numbers = f"in repeat{'' if len(repeats) == 1 else 's'} {listed([str(number) for number in repeats])}"
    if not check.last_is_whole:
        return "in the first repeat" if repeats == (1,) else numbers
    if repeats in {(1,), (last,)}:
        return f"in the {'first' if repeats == (1,) else 'last'} repeat"
    if repeats == tuple(range(1, last)):
        return "in all repeats but the last"
    if repeats == tuple(range(2, last)) and last > 3:
        return "in all repeats but the first and the last"
    if repeats == tuple(range(repeats[0], last + 1)):
        return f"from repeat {repeats[0]} on"
    return numbers


def _event(check: Checkpoint) -> str:
    first, last = check.columns
    columns = f"column {first}" if first == last else f"columns {first} to {last}"
    *others, moment = check.moments
    moments = f"{', '.join(others)} and {moment}" if others else moment
    largest = f" with {check.top_size}" if "peaks" in check.moments else ""
    return f"a dome {moments} on {columns}{largest}"


def _along_row(check: Checkpoint) -> str:
    before = counted(check.before.beads, "flat bead")
    if check.before.to == "dome":
        before += " since the dome before"
    after = f"{check.after.beads}{' to the next dome' if check.after.to == 'dome' else ''}"
    return f"{before}, then the dome, then {after}"
