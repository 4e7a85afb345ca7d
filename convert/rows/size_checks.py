"""The size-step rule in word rows: where beads that touch differ by more than one level."""

from collections.abc import Iterator

import numpy as np

from convert.rows.parser import Reading
from convert.rows.partial import UNKNOWN, Laid
from convert.rows.statements import Mistake
from shared.arrays import Ints
from shared.design import Design
from shared.plural import listed


def size_skips(laid: Laid, reading: Reading, against: Design | None) -> Iterator[Mistake]:
    """Name each pair of rows between which a level is skipped, with the columns; in a repeat once.

    Parameters
    ----------
    laid
        The work, as far as it is known.
    reading
        Tells which line gives which rows.
    against
        A design whose own skips are none, for whoever made it wanted them; None for no such design.
    """
    grid, keys, roots = laid.grid, laid.keys, reading.written_rows(laid.grid.rows)
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
        example = f"{keys[later[pairs[0]]]} touches {keys[earlier[pairs[0]]]}"
        beside = "within the row" if row == other else f"against row {other}"
        yield Mistake(
            reading.line_of(row),
            f"row {row} skips a rung {beside} on {where}: {example}; lay a size between, or mend a key",
        )


def _skipping(laid: Laid, against: Design | None) -> tuple[Ints, Ints]:
    """Return the later and the earlier bead of each contact that skips a level."""
    levels, beside = laid.levels, laid.grid.neighbours
    other = levels[beside]
    known = (beside >= 0) & (beside < np.arange(len(levels))[:, None]) & (other != UNKNOWN)
    skips = known & (levels[:, None] != UNKNOWN) & (np.abs(levels[:, None] - other) > 1)
    if against is not None and against.grid == laid.grid:
        same = against.levels == levels
        skips &= ~(same[:, None] & same[beside])
    later, contact = skips.nonzero()
    return later, beside[later, contact]
