"""Parts of a large work that are solved by themselves: a dome, or several near each other, with flat work around.

Flat work holds on to the ground, so a dome hardly knows of what lies beyond flat work about as wide as itself on both
sides together: its height is then within a percent of that in the whole work.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from convert.surface.continuation import Cloth
from convert.surface.spring_net import flat_rest_mm, make_net
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSize, BeadSizes
from shared.grid import Contact, Grid

NEAR = 4
"""Columns of flat work about a dome, and half as many as the rows, that are as its own part has them; over as many more
that shape fades into the one around."""


class Window(NamedTuple):
    """Rows and columns of a work, first and last, counted from 1."""

    top: int
    bottom: int
    left: int
    right: int


@dataclass(frozen=True, eq=False, slots=True)
class WorkPart:
    """A part of a work.

    Parameters
    ----------
    grid
        Its lattice.
    beads
        The number in the work of each of its beads, shape (beads of the part,).
    weight
        How much its own shape counts at each bead: 1 within, falling to 0 where the work goes on.
    """

    grid: Grid
    beads: Ints
    weight: Floats

    @classmethod
    def of(cls, grid: Grid, window: Window, *, fade: int = 0, frame: int) -> "WorkPart":
        """Cut a part out of a work.

        Its own shape counts fully in ``window``, and less and less over ``fade`` columns, and twice as many rows,
        around that; ``frame`` columns, and twice as many rows, around the window belong to the part.
        """
        top, bottom = max(1, window.top - 2 * frame), min(grid.rows, window.bottom + 2 * frame)
        left, right = max(1, window.left - frame), min(grid.columns, window.right + frame)
        # The first bead of a lattice lies where its rule puts it: the part begins on such a place.
        if grid.bead_at(np.array(top), np.array(right)) < 0:
            top, right = (top - 1, right) if top > 1 else (top, right + 1)
        part = Grid(right - left + 1, bottom - top + 1, grid.hand, grid.start)
        row, column = part.row_of + top - 1, part.column_of + left - 1
        away_rows = np.maximum(window.top - row, row - window.bottom) / (2 * fade + 1)
        away = np.maximum(np.maximum(window.left - column, column - window.right) / (fade + 1), away_rows)
        inside = 1 - np.clip(away, 0, 1)
        # A ramp that begins and ends level, so that no fold shows where a part fades.
        return cls(part, grid.bead_at(row, column), inside**2 * (3 - 2 * inside))

    @classmethod
    def about(cls, grid: Grid, window: Window) -> "WorkPart":
        """Cut out a dome, given with the nearest flat work, in a frame of flat work."""
        across = min(window.right - window.left + 1, (window.bottom - window.top + 1) // 2)
        return cls.of(grid, window, fade=NEAR, frame=max(2 * NEAR, across // 2))

    def cloth(self, cloth: Cloth, bead_sizes: BeadSizes, levels: Ints, common: int) -> Cloth:
        """Cut the part out of the cloth of the work, its own levels and the level of flat work given."""
        net = make_net(self.grid, bead_sizes, levels)
        return Cloth(
            net=net,
            start_mm=cloth.start_mm[:, self.beads],
            flat_rest_mm=flat_rest_mm(net, bead_sizes.sizes[common]),
            hold=cloth.hold[self.beads],
            rise=cloth.rise[self.beads],
            ground=cloth.ground,
            bending=cloth.bending,
        )

    def alone(self, cloth: Cloth, bead_sizes: BeadSizes, levels: Ints, common: int) -> tuple[Cloth, Ints]:
        """Return the part's cloth and levels, cut from those of the work; ``common`` is the level of flat work.

        All is flat where the part's own shape does not count: other domes may lie there.
        """
        own, sizes = self.weight > 0, levels[self.beads]
        lowered = ~own & (sizes != common)
        sizes = np.where(lowered, common, sizes)
        part = self.cloth(cloth, bead_sizes, sizes, common)
        if lowered.any():
            flat = part.rise[np.argmax(~lowered & (sizes == common))]
            part = replace(part, hold=np.where(own, part.hold, 1.0), rise=np.where(lowered, flat, part.rise))
        return part, sizes


def cut_out_domes(grid: Grid, loose: Bools) -> list[WorkPart]:
    """Return a part about each dome, or domes near each other, in the order of their first lines.

    ``loose`` are the beads that are not in flat work, shape (beads,).
    """
    from scipy.ndimage import find_objects, label, maximum_filter

    near = np.zeros((grid.rows, grid.columns), dtype=np.uint8)
    near[grid.row_of - 1, grid.column_of - 1] = loose
    near = maximum_filter(near, size=(4 * NEAR + 1, 2 * NEAR + 1), mode="constant")
    # Parts are upright boxes: where two overlap they are made one, and its box may meet a third.
    while True:
        boxes = find_objects(label(near, structure=np.ones((3, 3)))[0])
        filled = near.copy()
        for box in boxes:
            filled[box] = 1
        if np.array_equal(filled, near):
            break
        near = filled
    return [WorkPart.about(grid, Window(y.start + 1, y.stop, x.start + 1, x.stop)) for y, x in boxes]


def blend(values: Floats, own: list[tuple[WorkPart, Floats]]) -> Floats:
    """Return some values of all beads, shape (…, beads), with those of parts put in by their weights."""
    added, weight = np.zeros_like(values), np.zeros(values.shape[-1])
    for part, inner in own:
        added[..., part.beads] += part.weight * (inner - values[..., part.beads])
        weight[part.beads] += part.weight
    return np.asarray(values + added / np.maximum(weight, 1))


def covered_mm(grid: Grid, centres_mm: Floats, base: BeadSize) -> tuple[Floats, Floats]:
    """Return how much of the table each bead covers along its length and its diameter, in mm, each shape (beads,).

    Half the way between the beads on both sides, so that what a line of beads covers is the sum. At an edge, where
    there is a bead on one side only, the way to that; where there is none, the measure of the flat size ``base``.
    """
    around = np.where((grid.neighbours >= 0)[..., None], centres_mm[grid.neighbours, :2], np.nan)
    before = _mean(around[:, [Contact.EARLIER_TAIL, Contact.LATER_TAIL], 0])
    after = _mean(around[:, [Contact.EARLIER_FAR, Contact.LATER_FAR], 0])
    across = _gap(before, centres_mm[:, 0], after) * (1 if grid.hand == "right" else -1)
    down = _gap(around[:, Contact.EARLIER, 1], centres_mm[:, 1], around[:, Contact.LATER, 1]) * (
        1 if grid.start == "top" else -1
    )
    return np.where(np.isnan(across), base.length_mm, across), np.where(np.isnan(down), base.diameter_mm, down)


def _mean(pair: Floats) -> Floats:
    """Return the mean of two, or the one that there is."""
    first, second = pair.T
    one: Floats = np.where(np.isnan(first), second, first)
    return np.where(np.isnan(first + second), one, (first + second) / 2)


def _gap(before: Floats, here: Floats, after: Floats) -> Floats:
    both = (after - before) / 2
    one: Floats = np.where(np.isnan(after), here - before, after - here)
    return np.where(np.isnan(both), one, both)
