"""Levels for tests of the surface, made without the steps that make them in earnest."""

import numpy as np

from shared.grid import Grid


def rings(grid: Grid, *centres: tuple[int, int], radii: tuple[float, ...]) -> np.ndarray:
    """One level more inside each radius, counted in contacts from the row and column of a centre."""
    down = np.abs(grid.row_of[:, None] - [row for row, _ in centres])
    across = np.abs(grid.column_of[:, None] - [column for _, column in centres])
    away = (across + np.maximum(0, down - across) // 2).min(axis=1)
    return (away[:, None] <= np.array(radii)).sum(axis=1)


def middle(grid: Grid) -> tuple[int, int]:
    """The row and column of a bead at the middle of the work."""
    row, column = (grid.rows + 1) // 2, (grid.columns + 1) // 2
    return row + (grid.columns - column + row + 1) % 2, column


def ten_domes(rows: int = 200) -> tuple[Grid, np.ndarray]:
    """A strip 17 wide with a dome every 20 rows."""
    grid = Grid(17, rows)
    return grid, rings(grid, *((row, 9) for row in range(11, rows, 20)), radii=(0.5, 1.5, 2.5))


def random_levels(grid: Grid, seed: int) -> np.ndarray:
    """Levels at random, lowered until beads in contact differ by at most one."""
    levels = np.random.default_rng(seed).integers(0, 4, grid.count)
    while True:
        padded = np.append(levels, 9)
        lowered = np.minimum(levels, padded[grid.neighbours].min(axis=1) + 1)
        if (lowered == levels).all():
            return levels
        levels = lowered
