"""The repeat of a design, as far as lengthening needs it."""

from typing import NamedTuple

import numpy as np

from shared.design import Design
from shared.grid import Ints


class Repeat(NamedTuple):
    """Rows that come round again.

    Between foundation and end rows each row is like the one ``period`` rows further on; the last round may be a
    part.
    """

    foundation: int
    """How many rows come before, at least 0."""
    period: int
    """How many rows a round has, an even number: parity and way must come round again."""
    end: int = 0
    """How many rows come after, at least 0."""


def find_repeat(design: Design) -> Repeat | None:
    """Return the repeat that leaves the fewest rows over, the shortest of those; None where there is none.

    At least two rounds must be there, and they must be more than half of the work: plain ground at one end of a
    motif is no repeat.
    """
    rows = _row_numbers(design)
    best: Repeat | None = None
    for period in range(2, rows.size // 2 + 1, 2):
        first, alike = _longest_run(rows[period:] == rows[:-period])
        repeated = alike + period
        if repeated < 2 * period or 2 * repeated <= rows.size:
            continue
        if best is None or rows.size - repeated + period < best.foundation + best.end + best.period:
            best = Repeat(first, period, rows.size - first - repeated)
    return best


def _row_numbers(design: Design) -> Ints:
    """Return a number for each row, alike where two rows hold the same beads, shape (rows,)."""
    seen: dict[bytes, int] = {}
    rows = (design.cells[design.grid.row_slice(row)].tobytes() for row in range(1, design.grid.rows + 1))
    return np.array([seen.setdefault(row, len(seen)) for row in rows], dtype=np.int64)


def _longest_run(alike: "np.ndarray[tuple[int, ...], np.dtype[np.bool_]]") -> tuple[int, int]:
    """Return the place and the length of the longest run of true values, the first of equal ones."""
    breaks = np.flatnonzero(~np.concatenate([[False], alike, [False]]))
    lengths = np.diff(breaks) - 1
    longest = int(lengths.argmax())
    return int(breaks[longest]), int(lengths[longest])
