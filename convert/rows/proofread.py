"""Word rows proofread: beside what the reader finds, skipped levels, turns left unmarked, and what a design has else."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from convert.rows.differences import differences
from convert.rows.parser import Reading, read_rows
from convert.rows.partial import laid_out
from convert.rows.size_checks import size_skips
from convert.rows.statements import Mistake, RowLine
from shared.beads import BeadSizes
from shared.design import Design
from shared.grid import Grid


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
    ladder
        The sizes that a bead line may name, in rising order: beads that touch may differ by one.
    against
        The design that the rows should give. Every other bead is then a mistake; a skipped level that the design has
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
    laid = laid_out(reading.design) if reading.design else reading.laid
    mistakes = [*reading.mistakes]
    if laid is not None:
        mistakes += [*size_skips(laid, reading, against), *_unmarked_turns(reading, laid.grid)]
    if against is not None:
        mistakes += differences(reading, laid, against)
    if mistakes or reading.design is None:
        return Proof(None, tuple(sorted(mistakes, key=lambda mistake: mistake.line)))
    return Proof(_like(reading.design, against) if against else reading.design, ())


def _unmarked_turns(reading: Reading, grid: Grid) -> Iterator[Mistake]:
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


def _like(read: Design, against: Design) -> Design:
    """Return what was read with all that rows do not carry, from a design with the same beads in some order."""
    place_of = {bead.kind: place for place, bead in enumerate(against.beads)}
    places = np.array([place_of[bead.kind] for bead in read.beads], dtype=np.int64)
    return replace(against, bead_sizes=read.bead_sizes, cells=places[read.cells])
