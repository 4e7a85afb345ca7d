"""Word rows proofread: besides what the reader finds, skipped sizes, unmarked turns, and what a design has else."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from convert.rows.assemble import UNKNOWN, LaidBeads
from convert.rows.differences import find_differences
from convert.rows.parser import RowsRead, read_rows
from convert.rows.statements import Mistake, RowLine
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.design import Design
from shared.grid import Grid
from shared.plural import listed
from shared.size_steps import LARGEST_STEP


@dataclass(frozen=True, slots=True, eq=False)
class Proof:
    """What proofreading gives.

    Parameters
    ----------
    design
        None when there are mistakes.
    mistakes
        In the order of their lines.
    """

    design: Design | None
    mistakes: tuple[Mistake, ...]


def proofread(text: str, bead_sizes: BeadSizes, *, against: Design | None = None) -> Proof:
    """Read word rows and name everything that is wrong with them.

    Parameters
    ----------
    text
        As for `convert.rows.parser.parse_rows`.
    bead_sizes
        The sizes that a bead line may name, in rising order: beads that touch may differ by one.
    against
        The design that the rows should give. Every other bead is then a mistake; a skipped size that the design has
        itself is none.

    Returns
    -------
    Proof
        Its design has the title, the sources of the beads and the provenance of ``against``.

    Raises
    ------
    BadFileError
        When it is no text.
    """
    reading = read_rows(text, bead_sizes)
    laid = reading.laid
    mistakes = [*reading.mistakes]
    if laid is not None:
        mistakes += [*find_size_skips(laid, reading, against), *_find_unmarked_turns(reading, laid.grid)]
    if against is not None:
        mistakes += find_differences(reading, laid, against)
    if mistakes or reading.design is None:
        return Proof(None, tuple(sorted(mistakes, key=lambda mistake: mistake.line)))
    return Proof(_complete(reading.design, against) if against else reading.design, ())


def _find_unmarked_turns(reading: RowsRead, grid: Grid) -> Iterator[Mistake]:
    """Name rows whose odd-count turn is not marked, where most others are: a note may be left out everywhere."""
    rows_of = {span.line: span.ends for span in reading.spans}
    rows = [line for line in reading.statements if isinstance(line, RowLine) and line.line in rows_of]
    turning = [line for line in rows if grid.entry_of[rows_of[line.line][-1]].end == "odd-count"]
    unmarked = [line for line in turning if not line.odd_count_turn]
    if 2 * len(unmarked) >= len(turning):
        return
    for line in unmarked:
        row = rows_of[line.line][-1]
        yield Mistake(line.line, f"row {row} ends with the odd-count turn; write ; odd-count turn after its runs")


def _complete(read: Design, against: Design) -> Design:
    """Return what was read with all that rows do not carry, from a design with the same beads in some order."""
    place_of = {bead.kind: place for place, bead in enumerate(against.beads)}
    places = np.array([place_of[bead.kind] for bead in read.beads], dtype=np.int64)
    return replace(against, bead_sizes=read.bead_sizes, cells=places[read.cells])


def find_size_skips(laid: LaidBeads, reading: RowsRead, against: Design | None) -> Iterator[Mistake]:
    """Name each pair of rows between which a size is skipped, with the columns; in a repeat once.

    Parameters
    ----------
    against
        A design whose own skips are none, for whoever made it wanted them; None for no such design.
    """
    grid, kinds, roots = laid.grid, laid.kinds, reading.written_rows(laid.grid.rows)
    later, earlier = _skipping(laid, against)
    told: set[tuple[int, int, int]] = set()
    rows = zip(grid.row_of[later].tolist(), grid.row_of[earlier].tolist(), strict=True)
    places: dict[tuple[int, int], list[int]] = {}
    for place, pair in enumerate(rows):
        places.setdefault(pair, []).append(place)
    for (row, other), pairs in places.items():
        known = roots[row], roots[other], row - other
        if known in told:
            continue
        told.add(known)
        columns = [str(column) for column in np.unique(grid.column_of[later[pairs]]).tolist()]
        where = f"column{'' if len(columns) == 1 else 's'} {listed(columns)}"
        example = f"{kinds[later[pairs[0]]]} touches {kinds[earlier[pairs[0]]]}"
        against_row = "within the row" if row == other else f"against row {other}"
        yield Mistake(
            reading.line_of(row),
            f"row {row} skips a size {against_row} on {where}: {example}; put a size between them, or correct one",
        )


def _skipping(laid: LaidBeads, against: Design | None) -> tuple[Ints, Ints]:
    """Return the later and the earlier bead of each two neighbours between which a size is skipped."""
    levels, neighbours = laid.levels, laid.grid.neighbours
    # No neighbour is -1, and takes the level of the last bead: `known` leaves it out, and every pair but once.
    other = levels[neighbours]
    known = (neighbours >= 0) & (neighbours < np.arange(len(levels))[:, None]) & (other != UNKNOWN)
    skips = known & (levels[:, None] != UNKNOWN) & (np.abs(levels[:, None] - other) > LARGEST_STEP)
    if against is not None and against.grid == laid.grid:
        same = against.levels == levels
        skips &= ~(same[:, None] & same[neighbours])
    later, step = skips.nonzero()
    return later, neighbours[later, step]
