"""A motif comes again along the length: how many rows it has, how often it comes, and where it lies on the picture.

A *round* is one time of the motif. Its rows are even in number, for only then do parity and way come round again.
"""

from dataclasses import dataclass, replace
from math import ceil
from typing import NamedTuple

import numpy as np

from convert.image.cut import Cut, Span
from convert.image.raster import Raster
from convert.layout.size import Box, Plan, plan_work, rows_for
from convert.options import Options
from shared.arrays import Ints
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.plural import counted

MARGIN_ROWS = 16
"""So many rows of the rounds before and after are seen with the motif: more than any line is followed. Even."""


class Rounds(NamedTuple):
    """What the rows of a work are."""

    rows: int
    """Of one round; even."""
    times: int
    """How many rounds there are."""
    first_rows: int
    """Plain rows before them."""
    last_rows: int
    """Plain rows after them."""
    mirrored: bool
    """The second half is the first mirrored about a row in the middle."""

    @property
    def plain(self) -> bool:
        """Tell whether there are plain rows."""
        return self.first_rows + self.last_rows > 0

    @property
    def total(self) -> int:
        """Rows of the work."""
        return self.first_rows + self.rows * self.times + self.last_rows + self.mirrored


@dataclass(frozen=True)
class Lap:
    """A motif between parts of the rounds before and after it, as the picture is laid on it.

    Parameters
    ----------
    grid
        The lattice of all of it.
    before
        Rows of it before the motif.
    rounds
        Of which the motif is one.
    """

    grid: Grid
    before: int
    rounds: Rounds

    @property
    def rows(self) -> int:
        """Rows of the motif."""
        return self.rounds.rows

    @property
    def motif(self) -> range:
        """The rows of the motif."""
        return range(self.before + 1, self.before + self.rows + 1)

    @property
    def beads(self) -> slice:
        """Where the beads of the motif lie in an array of beads."""
        return self.grid.row_slice(self.motif.start, self.motif.stop - 1)

    def pixel_rows(self, bounds: Box) -> tuple[int, int]:
        """Return the first pixel row of the motif, and how many it has."""
        first = min(round(bounds.top), ceil(bounds.bottom) - 1)
        return first, max(round(bounds.bottom), first + 1) - first

    def lines(self, bounds: Box) -> tuple[Ints, Box]:
        """Return which pixel rows of a raster to lay one under another, and where the lattice lies on them.

        The motif fills ``bounds``, taken to whole pixel rows, with as many half-rows as it has rows: the next round
        begins just where it ends.
        """
        first, height = self.pixel_rows(bounds)
        half_row = height / self.rows
        above = self.before if self.grid.start == "top" else self.grid.rows - self.motif[-1]
        over, under = above * half_row, (self.grid.rows + 1 - above - self.rows) * half_row
        lines = first + np.arange(-ceil(over), height + ceil(under)) % height
        window = Box(bounds.left, ceil(over) - over, bounds.right, ceil(over) + height + under)
        return lines, window


class Laid(NamedTuple):
    """Where the picture lies on the lattice."""

    plan: Plan
    """Of the work, or of one round."""
    grid: Grid
    """What the picture is brought to."""
    lap: Lap | None = None
    """Where the motif lies on it; None for a picture that is the whole work."""

    def cut(self, width: int, height: int) -> Cut:
        """Return how to cut a file of so many pixels, upright; a motif from the first to the last of its pixel rows."""
        cut = self.plan.cut(width, height)
        if self.lap is None:
            return cut
        down = height if self.plan.turn % 180 == 0 else width
        first, count = self.lap.pixel_rows(self.plan.bounds.scaled(1, down / self.plan.seen_height))
        low, high = first / down, (first + count) / down
        parts = cut.down.parts // (self.plan.rows + 1) * self.plan.rows
        return cut._replace(down=Span(low, high, parts, low, high))

    def on(self, raster: Raster) -> tuple[Ints | None, Box, Box]:
        """Return the pixel rows to take of a raster (None for all as they are), the window and the bounds there."""
        place = Box(*raster.place).scaled(self.plan.seen_width, self.plan.seen_height)
        across, down = raster.shape[1] / place.width, raster.shape[0] / place.height
        window, bounds = (
            box.moved(-place.left, -place.top).scaled(across, down) for box in (self.plan.window, self.plan.bounds)
        )
        if self.lap is None:
            return None, window, bounds
        lines, window = self.lap.lines(bounds)
        return lines, window, Box(bounds.left, 0, bounds.right, len(lines))


def laid_out(width: int, height: int, options: Options) -> Laid:
    """Plan a work, or a motif that comes again if that is asked for; errors as in `plan_rounds`."""
    if options.repeat is None:
        plan = plan_work(width, height, options)
        return Laid(plan, Grid(plan.columns, plan.rows, options.hand, options.start, options.drop))
    plan, rounds = plan_rounds(width, height, options)
    lap = lap_of(plan.columns, rounds, options)
    return Laid(plan, lap.grid, lap)


def plan_rounds(width: int, height: int, options: Options) -> tuple[Plan, Rounds]:
    """Plan a motif that fills the picture's crop, and how often it comes.

    Parameters
    ----------
    width, height
        Pixels of the picture as one sees it.
    options
        Repeat, foundation, last rows, mirrored half; columns or width; for ``auto`` the rows or the length to fill. A
        picture that lies on its side is not turned, for a motif may be wider than long.

    Returns
    -------
    plan, rounds
        The rows of the plan are those of the motif.

    Raises
    ------
    BadChoiceError
        When not one round fits, and as `convert.layout.size.plan_work`.
    """
    turn = "0" if options.turn == "auto" else options.turn
    alone = replace(options, repeat=None, first_rows=0, last_rows=0, mirror_half=False)
    alone = replace(alone, rows=None, length_mm=None, turn=turn, fit="stretch")
    plan = plan_work(width, height, alone)
    base = options.bead_sizes.flat
    proportional = plan.columns * base.length_mm * plan.bounds.height / plan.bounds.width / (base.diameter_mm / 2)
    rows = max(2, 2 * round(proportional / 2))
    note = f"a round of the motif has {rows} rows: the even number nearest to its proportions ({proportional:.1f})"
    rounds, more = _rounds(rows, options)
    return plan._replace(rows=rows, notices=(*plan.notices, note, *more)), rounds


def _rounds(rows: int, options: Options) -> tuple[Rounds, tuple[str, ...]]:
    end = options.first_rows if options.mirror_half else options.last_rows
    notices: tuple[str, ...] = ()
    times = options.repeat
    if times == "auto":
        times, notices = _fitting(Rounds(rows, 0, options.first_rows, end, options.mirror_half), options)
    rounds = Rounds(rows, int(times or 1), options.first_rows, end, options.mirror_half)
    if rounds.mirrored:
        middle = rounds.total // 2 + 1
        notices += (f"the second half mirrors the first about row {middle}, which was added: it needs an odd number",)
    return rounds, notices


def _fitting(empty: Rounds, options: Options) -> tuple[int, tuple[str, ...]]:
    """Return how many whole rounds the length holds, an even number for mirrored work."""
    base = options.bead_sizes.flat
    room = rows_for(options.length_mm, base) if options.length_mm is not None else options.rows or 0
    at_once = 2 if empty.mirrored else 1
    times = (room - empty.total) // (at_once * empty.rows) * at_once
    if times < 1:
        raise BadChoiceError(
            f"{room} rows do not hold {counted(at_once, 'round')} of the motif's {empty.rows} rows"
            f"{_besides(empty)}; give a greater --length or fewer columns"
        )
    left = room - empty._replace(times=times).total
    over = f"{counted(left, 'row')} ({left * base.diameter_mm / 2:.1f} mm) over"
    return times, (f"--repeat auto: {counted(times, 'round')} fit in {room} rows, {over}",)


def _besides(empty: Rounds) -> str:
    return f" and {counted(empty.total, 'row')} beside it" if empty.total else ""


def lap_of(columns: int, rounds: Rounds, options: Options) -> Lap:
    """Return the lattice on which the motif is seen; its rows hold the columns that they hold in the work."""
    before = MARGIN_ROWS + rounds.first_rows % 2
    grid = Grid(columns, before + rounds.rows + MARGIN_ROWS, options.hand, options.start, options.drop)
    return Lap(grid, before, rounds)
