"""What coarsening costs in exactness: surfaces solved on the net of the work and on a coarsened one.

Run by hand: ``.venv/bin/python tests/bench/bench_coarse.py``. The floor is the whole net. Errors are the greatest
and the mean over all domes, of heights, and those of length and width; of strain the root of the mean square.
"""

import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from relief import rings

from convert.surface import solve
from convert.surface.measure import figures, strain
from shared.beads import default_ladder
from shared.grid import Grid

SMALL, USUAL, LARGE = (0.5, 1.5, 2.5), (0.5, 2.5, 4.5), (2, 5, 8)
CASES = {
    "60 x 400, radius 2.5": (60, 400, SMALL, 50, 15),
    "60 x 400, radius 4.5": (60, 400, USUAL, 50, 15),
    "100 x 600, radius 4.5": (100, 600, USUAL, 50, 20),
    "100 x 600, radius 8": (100, 600, LARGE, 60, 30),
    "100 x 600, radius 8, cut by the edge": (100, 600, LARGE, 60, 28),
}
"""Columns, rows, radii of the rungs in beads, and how many rows and columns domes are apart."""


def work(columns: int, rows: int, radii: tuple[float, ...], down: int, across: int) -> tuple[Grid, Any]:
    grid, first = Grid(columns, rows), 14 if across == 28 else 20
    places = [(row, column) for row in range(30, rows - 20, down) for column in range(first, columns, across)]
    return grid, rings(grid, *places, radii=radii)


def solved(grid: Grid, levels: Any, most_whole: int) -> tuple[solve.Surface, float]:
    solve.MOST_WHOLE = most_whole
    start = time.perf_counter()
    surface = solve.solve_surface(grid, default_ladder(), levels)
    return surface, time.perf_counter() - start


def main() -> None:
    heads = ("beads", "whole s", "coarse s", "height max", "mean", "length mm", "width mm", "strain")
    print(f"{'case':38}", *(f"{head:>10}" for head in heads))
    for name, case in CASES.items():
        grid, levels = work(*case)
        (whole, floor), (coarse, ours) = (solved(grid, levels, most) for most in (grid.count, 0))
        one, other = figures(whole), figures(coarse)
        heights = np.array([[dome.height_mm for dome in found.domes] for found in (one, other)])
        off = np.abs(heights[1] / heights[0] - 1)
        strains = [strain(each.net, each.centres_mm) for each in (whole, coarse)]
        cells = (
            f"{grid.count}",
            f"{floor:.1f}",
            f"{ours:.1f}",
            f"{off.max():.1%}",
            f"{off.mean():.1%}",
            f"{other.length_mm - one.length_mm:+.2f}",
            f"{other.width_mm - one.width_mm:+.2f}",
            f"{np.sqrt(((strains[1] - strains[0]) ** 2).mean()):.4f}",
        )
        print(f"{name:38}", *(f"{cell:>10}" for cell in cells), flush=True)


if __name__ == "__main__":
    main()
