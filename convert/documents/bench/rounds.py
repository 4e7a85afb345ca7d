"""Which rows come again and again: found bead for bead, in time that grows with the rows only."""

from collections.abc import Sequence

from convert.documents.bench.plan import Rounds
from shared.design import Design


def rounds_of(design: Design) -> Rounds | None:
    """Find the repeat that leaves the fewest rows to be told: those before it, and one round.

    A round has an even number of rows, so that parity and way come round again, and starts behind the strand.
    There are two whole rounds at least; the last one may be followed by a part of one.

    Parameters
    ----------
    design
        Its cells are compared row by row.
    """
    grid = design.grid
    rows = [design.cells[grid.row_slice(row)].tobytes() for row in range(grid.rows, 2, -1)]
    alike = _common_starts(rows)
    periods = [period for period in range(2, len(rows) // 2 + 1, 2) if alike[period] >= period]
    if not periods:
        return None
    best = max(periods, key=lambda period: (alike[period], -period))
    return Rounds(grid.rows - alike[best] - best + 1, best, grid.rows)


def _common_starts(items: Sequence[bytes]) -> list[int]:
    """Return for each place how many items from there on are those at the beginning.

    Source: the Z function; Gusfield, "Algorithms on Strings, Trees, and Sequences", 1997, section 1.4.
    """
    found = [0] * len(items)
    left = right = 0
    for place in range(1, len(items)):
        length = min(right - place, found[place - left]) if place < right else 0
        while place + length < len(items) and items[length] == items[place + length]:
            length += 1
        found[place] = length
        if place + length > right:
            left, right = place, place + length
    return found
