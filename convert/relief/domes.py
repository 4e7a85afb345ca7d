"""Domes become levels: how high each bead is wanted.

Distances count in beads. Those of diamonds, half-diamonds and ridges are steps from bead to touching bead; a step
within a pair of two-drop leads to the same row, any other step across to the next one. Those of discs and rings are
lengths in flat work, divided by the mean of a bead's two measures.
"""

from dataclasses import replace

import numpy as np

from convert.relief.dome_syntax import DomeShape, Measure
from shared.arrays import Floats, Ints
from shared.beads import BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid

_GRAIN = 1e-9


def dome_levels(domes: tuple[DomeShape, ...], grid: Grid, bead_sizes: BeadSizes, *, motif: range | None = None) -> Ints:
    """Return the level that each bead is wanted at, the highest of all domes, shape (beads,).

    Parameters
    ----------
    domes
        Shapes with their places.
    grid, bead_sizes
        Of the work.
    motif
        Rows of a motif that comes again before and after: domes are placed in it, and come again with it. None for
        all rows, once.

    Raises
    ------
    BadChoiceError
        When a dome lies outside the work or is higher than the bead sizes.
    """
    levels = np.zeros(grid.count, dtype=np.int64)
    for dome in domes:
        levels = np.maximum(levels, _levels(dome, grid, bead_sizes, motif))
    return levels


def _levels(dome: DomeShape, grid: Grid, bead_sizes: BeadSizes, motif: range | None) -> Ints:
    height = _height(dome, bead_sizes)
    column = _column(dome, grid, bead_sizes)
    columns = [column, grid.columns + 1 - column] if dome.both else [column]
    inside = np.full(grid.count, -1.0)
    for rows in _places(dome, grid, bead_sizes) if motif is None else _places_around(dome, grid, bead_sizes, motif):
        for middle in columns:
            inside = np.maximum(inside, _inside(dome, _away(dome, grid, bead_sizes, rows, middle), bead_sizes, height))
    # As many even bands as levels, the lowest along the rim.
    bands = np.floor(inside * height + _GRAIN).astype(np.int64)
    return np.where(inside >= -_GRAIN, np.minimum(bands + 1, height), 0)


def _away(dome: DomeShape, grid: Grid, bead_sizes: BeadSizes, rows: tuple[float, float], middle: float) -> Floats:
    """Return how far each bead is from the middle of the dome, in beads."""
    down = np.maximum(np.maximum(rows[0] - grid.row_of, grid.row_of - rows[1]), 0)
    across = np.abs(grid.column_of - middle)
    if dome.shape in {"disc", "ring"}:
        flat = bead_sizes.flat
        return np.asarray(np.hypot(down * flat.diameter_mm / 2, across * flat.length_mm) / _unit_mm(bead_sizes))
    stepped = np.abs(_count_borders(grid.column_of, grid.drop) - _count_borders(middle, grid.drop))
    return np.asarray(across + np.maximum(down - stepped, 0) / 2)


def _count_borders(column: Floats | Ints | float, drop: int) -> Floats:
    """Return how many borders between groups lie before a column, in parts where it lies between two of them."""
    group, step = np.divmod(np.asarray(column) - 1, drop)
    return np.asarray(group + np.maximum(step - (drop - 1), 0))


def _inside(dome: DomeShape, away: Floats, bead_sizes: BeadSizes, height: int) -> Floats:
    """Return how far inside the rim each bead lies, 0 there and 1 in the middle, below 0 outside."""
    reach = _size(dome, dome.radius, bead_sizes)
    if dome.shape != "ring":
        return np.asarray(1 - away / reach)
    half = height if dome.width is None else _size(dome, dome.width, bead_sizes) / 2
    return np.asarray(1 - np.abs(away - reach) / half)


def _places_around(dome: DomeShape, grid: Grid, bead_sizes: BeadSizes, motif: range) -> list[tuple[float, float]]:
    """Return the same for all repeats of a motif that reach into the lattice."""
    within = _places(dome, replace(grid, rows=len(motif)), bead_sizes)
    repeats = 1 + grid.rows // len(motif)
    steps = [motif.start - 1 + step * len(motif) for step in range(-repeats, repeats + 1)]
    return [(first + step, last + step) for step in steps for first, last in within]


def _places(dome: DomeShape, grid: Grid, bead_sizes: BeadSizes) -> list[tuple[float, float]]:
    """Return first and last row of the dome and of each of its repeats."""
    first, last = (_row(row, grid, bead_sizes) for row in dome.rows)
    if first > last:
        raise BadChoiceError(f"'{dome.words}' runs back; give the lower row first")
    if not 1 <= first <= last <= grid.rows:
        raise BadChoiceError(f"'{dome.words}' lies beyond rows 1 to {grid.rows}; move it, or make the work longer")
    if dome.every is None:
        return [(first, last)]
    step = dome.every.value if dome.every.unit == "beads" else dome.every.value / (bead_sizes.flat.diameter_mm / 2)
    if step < 1:
        raise BadChoiceError(f"'{dome.words}' comes again within a row; give a larger distance after every")
    count = int((grid.rows - last) / step + _GRAIN) + 1
    return [(first + step * turn, last + step * turn) for turn in range(count)]


def _row(row: Measure, grid: Grid, bead_sizes: BeadSizes) -> float:
    if row.unit == "middle":
        return (grid.rows + 1) / 2
    return row.value if row.unit == "beads" else row.value / (bead_sizes.flat.diameter_mm / 2)


def _column(dome: DomeShape, grid: Grid, bead_sizes: BeadSizes) -> float:
    column = dome.column
    if column.unit == "middle":
        return (grid.columns + 1) / 2
    if column.unit in {"left", "right"}:
        return 1.0 if (column.unit == "left") == (grid.hand == "right") else float(grid.columns)
    found = column.value if column.unit == "beads" else column.value / bead_sizes.flat.length_mm + 0.5
    if not 0.5 <= found <= grid.columns + 0.5:
        raise BadChoiceError(f"'{dome.words}' lies beyond columns 1 to {grid.columns}; move it, or widen the work")
    return found


def _size(dome: DomeShape, size: Measure, bead_sizes: BeadSizes) -> float:
    """Return a size in beads."""
    if size.unit == "beads":
        return size.value
    return size.value / (_unit_mm(bead_sizes) if dome.shape in {"disc", "ring"} else bead_sizes.flat.length_mm)


def _unit_mm(bead_sizes: BeadSizes) -> float:
    return (bead_sizes.flat.length_mm + bead_sizes.flat.diameter_mm) / 2


def _height(dome: DomeShape, bead_sizes: BeadSizes) -> int:
    most = len(bead_sizes.sizes) - 1
    if dome.height is not None and dome.height > most:
        raise BadChoiceError(f"'{dome.words}' is higher than {most}, the number of raised sizes; give a lower h")
    return most if dome.height is None else dome.height
