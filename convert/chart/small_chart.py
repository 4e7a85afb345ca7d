"""Small charts as pixels: which bead each pixel shows is worked out once, for all palettes."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import DARKEST_WITH_DARK_OUTLINE, drawn_size_mm
from convert.chart.coverage import Bytes, rgba
from convert.chart.inks import DARK, LIGHT, luminance, mix
from shared.arrays import Ints
from shared.design import Design

FINER = 2
"""Samples per pixel along each axis."""

MOST_PIXELS, MOST_WIDE, MOST_HIGH = 130_000, 480, 640
"""Of one chart; a work of very many beads is thinned out to fit."""

LEAST_BEAD = 4
"""Pixels that a column is wide, though a long work grows higher by it, as long as `MOST_PIXELS` allows."""

_OUTLINE = 0.45


@dataclass(frozen=True, eq=False)
class ChartPlan:
    """Where the beads of a work lie on a small chart.

    Parameters
    ----------
    shown
        The bead at each sample, -1 for none, shape (FINER * height, FINER * width).
    edges
        Whether a sample lies on the outline of its bead, same shape.
    """

    shown: Ints
    edges: NDArray[np.bool_]

    @property
    def width(self) -> int:
        """In pixels."""
        return int(self.shown.shape[1]) // FINER

    @property
    def height(self) -> int:
        """In pixels."""
        return int(self.shown.shape[0]) // FINER


def plan_chart(design: Design) -> ChartPlan:
    """Lay the beads of a design on pixels: flat ones fill their slot, larger ones bulge over it."""
    column, half_row = _slot_samples(design)
    shown = _flat(design, column, half_row)
    for level in range(1, len(design.bead_sizes.sizes)):
        _lay_over(shown, design, level, column, half_row)
    shown = _thin_out(shown)
    edges = np.zeros(shown.shape, dtype=np.bool_)
    if min(column, 2 * half_row) >= 4 * FINER:
        edges[:, :-1] |= shown[:, :-1] != shown[:, 1:]
        edges[:-1] |= shown[:-1] != shown[1:]
        edges &= shown >= 0
    return ChartPlan(shown, edges)


def paint_chart(plan: ChartPlan, colour_of_bead: Ints, colours: Sequence[str], paper: str) -> Bytes:
    """Paint a chart.

    Parameters
    ----------
    plan
        Where the beads lie.
    colour_of_bead
        The place of each bead's colour, shape (beads,).
    colours
        As ``#rrggbb``.
    paper
        What shows next to the beads, as ``#rrggbb``.

    Returns
    -------
    ndarray of uint8
        RGBA, shape (height, width, 4).
    """
    inks = np.stack([rgba(colour) for colour in (*colours, paper)]).view(np.uint32)[:, 0]
    lines = np.stack([rgba(_outline(colour)) for colour in (*colours, paper)]).view(np.uint32)[:, 0]
    of_shown = np.append(colour_of_bead, len(colours))[plan.shown]
    samples = np.where(plan.edges, lines[of_shown], inks[of_shown])[..., None].view(np.uint8)
    total = np.zeros((plan.height, plan.width, 4), dtype=np.uint16)
    for down in range(FINER):
        for right in range(FINER):
            total += samples[down::FINER, right::FINER]
    return np.asarray(total // FINER**2, dtype=np.uint8)


def _outline(colour: str) -> str:
    return mix(colour, DARK if luminance(colour) > DARKEST_WITH_DARK_OUTLINE else LIGHT, _OUTLINE)


def _slot_samples(design: Design) -> tuple[int, int]:
    """Return how many samples a column is wide and a half-row high."""
    width_mm, length_mm = design.extent_mm
    base = design.bead_sizes.flat
    fitting = max(min(MOST_WIDE / width_mm, MOST_HIGH / length_mm), LEAST_BEAD / base.length_mm)
    scale = min(fitting, sqrt(MOST_PIXELS / (width_mm * length_mm)))
    column, half_row = round(base.length_mm * scale * FINER), round(base.diameter_mm / 2 * scale * FINER)
    return max(1, column), max(1, half_row)


def _flat(design: Design, column: int, half_row: int) -> Ints:
    """Show every bead in its slot, with half a slot free all around for what bulges."""
    grid = design.grid
    down, right = grid.place_of.T
    lattice = np.full((grid.rows + 3, grid.columns + 2), -1, dtype=np.int64)
    for step in (1, 2):
        lattice[down + step, right + 1] = np.arange(grid.count)
    shown = lattice.repeat(half_row, axis=0).repeat(column, axis=1)
    return np.pad(shown, ((0, -shown.shape[0] % FINER), (0, -shown.shape[1] % FINER)), constant_values=-1)


def _lay_over(shown: Ints, design: Design, level: int, column: int, half_row: int) -> None:
    beads = np.flatnonzero(design.levels == level)
    base = design.bead_sizes.flat
    width_mm, height_mm = drawn_size_mm(design.bead_sizes, level)
    rx, ry = width_mm / base.length_mm * column / 2, height_mm / base.diameter_mm * half_row
    y, x = np.mgrid[-int(ry) - 1 : int(ry) + 2, -int(rx) - 1 : int(rx) + 2] + 0.5
    is_round = design.bead_sizes.sizes[level].shape == "round"
    inside = (x / rx) ** 2 + (y / ry) ** 2 <= 1 if is_round else (abs(x) <= rx) & (abs(y) <= ry)
    steps = np.stack([y[inside], x[inside]]).astype(np.int64) - (np.stack([y[inside], x[inside]]) < 0)
    down, right = design.grid.place_of[beads].T
    rows = (down[:, None] + 2) * half_row + steps[0]
    columns = right[:, None] * column + column + column // 2 + steps[1]
    kept = (rows >= 0) & (rows < shown.shape[0]) & (columns >= 0) & (columns < shown.shape[1])
    shown[rows[kept], columns[kept]] = np.broadcast_to(beads[:, None], rows.shape)[kept]


def _thin_out(shown: Ints) -> Ints:
    """Leave out samples of a work so large that even one for each bead is too many."""
    every = int(sqrt(shown.size / (4 * FINER**2 * MOST_PIXELS))) + 1
    thin = shown[::every, ::every]
    return thin[: len(thin) // FINER * FINER, : thin.shape[1] // FINER * FINER]
