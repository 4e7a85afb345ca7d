"""Checkpoints: where a dome begins, peaks and ends, and how many flat beads lie between it and the next one."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints
from shared.design import Design
from shared.domes import domes_of, raised_beads
from shared.grid import Contact, Grid

Bools = NDArray[np.bool_]

Moment = Literal["begins", "peaks", "ends"]


class Gap(NamedTuple):
    """Base beads in a line."""

    beads: int
    """How many they are."""
    to: Literal["edge", "dome"]
    """What comes after the last of them."""


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """An entry of the word rows after which to stop and count.

    Parameters
    ----------
    rows
        The rows of the entry, as in `Grid.entries`.
    moments
        What the dome does there; a low one may begin, peak and end in the same row.
    columns
        First and last column of the whole dome.
    dome_rows
        First and last row of it.
    raised
        How many of its beads lie in this entry.
    top_size
        Name of its largest bead size.
    before, after
        The flat beads beside it in this entry, as the needle takes them.
    column
        The column in which ``since`` and ``until`` are counted: through the middle of its beads here.
    since
        The flat beads back along the column, where the dome begins; None elsewhere.
    until
        The flat beads to come in the column, where it ends; None elsewhere.
    rounds
        The rounds of a repeat, from 1, in which it holds, where it is told for several at once and not for all.
    of_rounds
        How many rounds have that row; 0 where ``rounds`` says nothing.
    last_is_whole
        Whether the last round is a whole one. Where it is not, some rows lack it, so that "the last" could mean
        either: rounds are then told by their numbers.
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
    rounds: tuple[int, ...] = ()
    of_rounds: int = 0
    last_is_whole: bool = True


def checkpoints(design: Design) -> tuple[Checkpoint, ...]:
    """Find the checkpoints of a design.

    Domes are those of the predicted surface: beads above the ground that hang together by contacts, parted where they
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
    here = here[grid.row_of[here] == grid.row_of[here[-1]]]  # of the strand row 2, where it has beads of the dome
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
