"""The layout of a work: its lattice, where that lies on the picture, and how a motif comes again along the length.

The rows of a repeat are even in number, for only then do parity and direction come round again.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil
from typing import Any, NamedTuple

import numpy as np

from convert.image.decode import Header
from convert.image.raster import Raster
from convert.layout.choices import LayoutChoices
from convert.layout.size import Box, Plan, plan_work, rows_for
from shared.arrays import Array, Ints
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.plural import counted

MARGIN_ROWS = 16
"""Rows of the repeats before and after that are seen with the motif: more than any line is followed. Even."""

TILES = 3
"""Repeats that are worked out together: the middle one sees itself on both sides, and all the work is made of it."""


class Repeats(NamedTuple):
    """What the rows of a work are."""

    rows: int
    """Of one repeat; even."""
    times: int
    """How many repeats there are."""
    first_rows: int
    """Plain rows before them."""
    last_rows: int
    """Plain rows after them."""
    mirrored: bool
    """The second half is the first mirrored about a row in the middle."""

    @property
    def plain(self) -> bool:
        """Whether there are plain rows."""
        return self.first_rows + self.last_rows > 0

    @property
    def total(self) -> int:
        """Rows of the work."""
        return self.first_rows + self.rows * self.times + self.last_rows + self.mirrored


@dataclass(frozen=True)
class Strip:
    """A motif with parts of the repeats before and after it.

    Parameters
    ----------
    grid
        The lattice of all of it; its rows hold the columns that they hold in the work.
    before
        Rows of it before the motif.
    repeats
        Of which the motif is one.
    """

    grid: Grid
    before: int
    repeats: Repeats

    @property
    def rows(self) -> int:
        """Rows of the motif."""
        return self.repeats.rows

    @property
    def motif(self) -> range:
        """The rows of the motif."""
        return range(self.before + 1, self.before + self.rows + 1)

    @property
    def beads(self) -> slice:
        """Where the beads of the motif lie in an array of beads."""
        return self.grid.row_slice(self.motif.start, self.motif.stop - 1)

    def lines(self, bounds: Box) -> tuple[Ints, Box]:
        """Return which pixel rows of a raster to lay one under another, and where the lattice lies on them.

        The motif fills ``bounds``, taken to whole pixel rows, with as many half-rows as it has rows: the next repeat
        begins just where it ends.
        """
        first = min(round(bounds.top), ceil(bounds.bottom) - 1)
        height = max(round(bounds.bottom), first + 1) - first
        half_row = height / self.rows
        above = self.before if self.grid.start == "top" else self.grid.rows - self.motif[-1]
        over, under = above * half_row, (self.grid.rows + 1 - above - self.rows) * half_row
        lines = first + np.arange(-ceil(over), height + ceil(under)) % height
        window = Box(bounds.left, ceil(over) - over, bounds.right, ceil(over) + height + under)
        return lines, window


@dataclass(frozen=True)
class Layout:
    """Where the picture lies on the lattice, and which beads are worked out of it.

    Parameters
    ----------
    plan
        Of the work, or of one repeat.
    grid
        The finished work.
    mirror
        Whether the picture is mirrored, after it was turned as the plan says.
    seen
        The motif as the picture is laid on it; None for a picture that is the whole work.
    tiles
        The repeats that are worked out; None as before.
    """

    plan: Plan
    grid: Grid
    mirror: bool = False
    seen: Strip | None = None
    tiles: Strip | None = None

    @property
    def seen_grid(self) -> Grid:
        """What the picture is brought to."""
        return self.grid if self.seen is None else self.seen.grid

    @property
    def worked_grid(self) -> Grid:
        """What is coloured: all of the work, or the repeats that all of it is made of."""
        return self.grid if self.tiles is None else self.tiles.grid

    @cached_property
    def motif_bead(self) -> Ints:
        """Which bead of the motif each bead of the work equals, -1 for plain ones, shape (beads,)."""
        if self.seen is None:
            return np.arange(self.grid.count)
        grid, repeats = self.grid, self.seen.repeats
        row = grid.row_of
        if repeats.mirrored:
            row = np.minimum(row, grid.rows + 1 - row)
        plain = (row <= repeats.first_rows) | (row > grid.rows - repeats.last_rows)
        first = repeats.first_rows + 1
        in_first = grid.bead_at(first + (row - first) % repeats.rows, grid.column_of)
        return np.where(plain, -1, in_first - grid.row_slice(first).start)

    def motif_of(self, values: Array) -> Array:
        """Return those of all that is seen, shape (seen beads, …), that belong to the motif; all where none repeats."""
        return values if self.seen is None else np.asarray(values[self.seen.beads])

    def tile(self, motif: Array) -> Array:
        """Lay values of the motif over all that is worked out."""
        if self.tiles is None:
            return motif
        place = np.arange(self.tiles.grid.count) - self.tiles.beads.start
        return np.asarray(motif[place % len(motif)])

    @property
    def plain_lead(self) -> slice:
        """Where first rows lie in what is worked out."""
        if self.tiles is None or not self.tiles.repeats.plain:
            return slice(0, 0)
        return self.tiles.grid.row_slice(1, self.tiles.motif.start - self.tiles.rows - 1)

    def spread(self, values: Array, plain: Any) -> Array:
        """Lay values of all that is worked out over the whole work; ``plain`` for first and last rows."""
        if self.tiles is None:
            return values
        source = np.where(self.motif_bead >= 0, self.tiles.beads.start + self.motif_bead, -1)
        known = (source >= 0).reshape(-1, *[1] * (values.ndim - 1))
        return np.asarray(np.where(known, values[source], plain))

    def on(self, raster: Raster) -> tuple[Ints | None, Box, Box]:
        """Return the pixel rows to take of a raster (None for all as they are), the window and the bounds there."""
        across, down = raster.shape[1] / self.plan.seen_width, raster.shape[0] / self.plan.seen_height
        window, bounds = (box.scale(across, down) for box in (self.plan.window, self.plan.bounds))
        if self.seen is None:
            return None, window, bounds
        lines, window = self.seen.lines(bounds)
        return lines, window, Box(bounds.left, 0, bounds.right, len(lines))


def lay_out(choices: LayoutChoices, size: Header, bead_sizes: BeadSizes) -> Layout:
    """Plan a work, or a motif that comes again if that is asked for.

    Raises
    ------
    BadChoiceError
        When the crop box lies outside the picture, a size is under two beads, or not one repeat fits.
    """
    (width, height), flat = size, bead_sizes.flat
    if choices.repeat is None:
        plan = plan_work(width, height, choices, flat)
        grid = Grid(plan.columns, plan.rows, choices.hand, choices.start, choices.drop)
        return Layout(plan, grid, choices.mirror)
    plan, repeats = _plan_repeats(width, height, choices, flat)
    whole = Grid(plan.columns, repeats.total, choices.hand, choices.start, choices.drop)
    before = MARGIN_ROWS + repeats.first_rows % 2
    seen = Strip(replace(whole, rows=before + repeats.rows + MARGIN_ROWS), before, repeats)
    # Before the tiles stand a row or two: of the repeat before, or of the first rows, so that parity is the work's.
    lead = repeats.first_rows % 2 or 2
    tiles = Strip(replace(whole, rows=lead + TILES * repeats.rows), lead + repeats.rows, repeats)
    return Layout(plan, whole, choices.mirror, seen, tiles)


def _plan_repeats(width: int, height: int, choices: LayoutChoices, flat: BeadSize) -> tuple[Plan, Repeats]:
    """Plan a motif that fills the picture's crop, and how often it comes; the rows of the plan are the motif's.

    A motif that lies on its side is not turned, for it may well be wider than long: it is stacked, not stretched.
    """
    turn = "0" if choices.turn == "auto" else choices.turn
    alone = replace(choices, repeat=None, first_rows=0, last_rows=0, mirror_half=False)
    alone = replace(alone, rows=None, length_mm=None, turn=turn, fit="stretch")
    plan = plan_work(width, height, alone, flat)
    proportional = plan.columns * flat.length_mm * plan.bounds.height / plan.bounds.width / (flat.diameter_mm / 2)
    rows = max(2, 2 * round(proportional / 2))
    note = f"a repeat has {rows} rows: the even number nearest to the picture's proportions ({proportional:.1f})"
    repeats, more = _count_repeats(rows, choices, flat)
    if choices.turn == "auto" and plan.bounds.width > plan.bounds.height:
        more = ("the picture is wider than high and is repeated as it lies; --turn 90 turns it", *more)
    return plan._replace(rows=rows, notices=(*plan.notices, note, *more)), repeats


def _count_repeats(rows: int, choices: LayoutChoices, flat: BeadSize) -> tuple[Repeats, tuple[str, ...]]:
    end = choices.first_rows if choices.mirror_half else choices.last_rows
    notices: tuple[str, ...] = ()
    times = choices.repeat
    if times == "auto":
        times, notices = _fit_repeats(Repeats(rows, 0, choices.first_rows, end, choices.mirror_half), choices, flat)
    repeats = Repeats(rows, int(times or 1), choices.first_rows, end, choices.mirror_half)
    if repeats.mirrored:
        middle = repeats.total // 2 + 1
        notices += (f"the second half mirrors the first about row {middle}, which was added: it needs an odd number",)
    return repeats, notices


def _fit_repeats(empty: Repeats, choices: LayoutChoices, flat: BeadSize) -> tuple[int, tuple[str, ...]]:
    """Return how many whole repeats the length holds, an even number for mirrored work."""
    room = rows_for(choices.length_mm, flat) if choices.length_mm is not None else choices.rows or 0
    at_once = 2 if empty.mirrored else 1
    times = (room - empty.total) // (at_once * empty.rows) * at_once
    if times < 1:
        next_to_it = f" and {counted(empty.total, 'row')} next to it" if empty.total else ""
        raise BadChoiceError(
            f"{room} rows do not hold {counted(at_once, 'repeat')} of {empty.rows} rows{next_to_it}; "
            "give a greater --length or fewer columns"
        )
    left = room - empty._replace(times=times).total
    over = f"{counted(left, 'row')} ({left * flat.diameter_mm / 2:.1f} mm) over"
    return times, (f"--repeat auto: {counted(times, 'repeat')} fit in {room} rows, {over}",)
