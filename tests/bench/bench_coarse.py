"""What coarsening costs in exactness: surfaces solved on the net of the work and on coarsened ones.

Run by hand: ``.venv/bin/python tests/bench/bench_coarse.py``. The floor is the whole net. Each case is solved on it,
and then with patches of each factor, so many beads across and along: by the coarsened net only, as domes are that are
too large or too many for nets of their own, and at last with those ("alone"). Errors are the greatest and the mean over
all domes, of heights, and those of length and width; of strain the root of the mean square; beside them stands how many
places to look at the whole net shows, and how many the coarsened one.
"""

import sys
import time
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from size_levels import random_levels, rings

from convert.surface import coarse, large, solve
from convert.surface.measure import SurfaceFigures, read_figures, strain
from convert.surface.stitch_problems import find_stitch_problems
from convert.surface.surface import Surface
from convert.surface.words import find_urgent
from shared.beads import default_bead_sizes
from shared.grid import Grid

FACTORS = (2, 3, 4, 6, 8, 10)
SMALL, USUAL, LARGE = (0.5, 1.5, 2.5), (0.5, 2.5, 4.5), (2, 5, 8)
BROAD = (6, 13, 20)
CASES = {
    "radius 2.5": (60, 400, SMALL, 50, 15),
    "radius 4.5": (60, 400, USUAL, 50, 15),
    "radius 8": (100, 600, LARGE, 60, 30),
    "radius 8, cut by the edge": (100, 600, LARGE, 60, 28),
    "radius 20, too wide for its steps": (120, 600, BROAD, 140, 60),
}
"""Columns, rows, radii of the levels in beads, and how many rows and columns domes are apart."""

WIDTHS = ((4, 4), (2, 2.5), (0, 1))
"""How far the levels of a ring reach inwards and outwards of its middle line, in beads."""

EVERY = 10**9
SPECKLED = "sizes at random"


class Solved(NamedTuple):
    surface: Surface
    found: SurfaceFigures
    places: int
    seconds: float


def work(columns: int, rows: int, radii: tuple[float, ...], down: int, across: int) -> tuple[Grid, Any]:
    grid, first = Grid(columns, rows), 14 if across == 28 else max(20, int(radii[-1]) + 8)
    top = max(30, 2 * int(radii[-1]) + 16)
    places = [(row, column) for row in range(top, rows - 20, down) for column in range(first, columns, across)]
    return grid, rings(grid, *places, radii=radii)


def ringed() -> tuple[Grid, Any]:
    """Make rings with a flat inside."""
    grid, levels = Grid(101, 600), 0
    centres = [(row, 51) for row in range(70, 600, 115)]
    for inwards, outwards in WIDTHS:
        levels = levels + rings(grid, *centres, radii=(15 + outwards,)) - rings(grid, *centres, radii=(14.5 - inwards,))
    return grid, levels


def ridged() -> tuple[Grid, Any]:
    """Make ridges along, three levels high."""
    grid = Grid(101, 400)
    away = np.abs(grid.column_of[:, None] - np.array([20, 50, 80])).min(axis=1)
    to_end = np.minimum(grid.row_of - 38, 362 - grid.row_of) // 2
    return grid, np.clip(np.minimum(4 - away, to_end), 0, 3)


def solved(grid: Grid, levels: Any, factor: int, *, alone: int = 0) -> Solved:
    """Solve with patches of a factor; 1 is the whole net."""
    large.MOST_ALONE = alone
    solve.MOST_WHOLE = grid.count if factor == 1 else 0
    coarse.MOST_BEADS = grid.count // factor**2
    start = time.perf_counter()
    surface = solve.solve_surface(grid, default_bead_sizes(), levels)
    seconds = time.perf_counter() - start
    return Solved(surface, read_figures(surface), len(find_urgent(find_stitch_problems(surface))), seconds)


def line(whole: Solved, other: Solved) -> tuple[str, ...]:
    assert other.surface.coarsening is not None
    heights = np.array([[dome.height_mm for dome in each.found.domes] for each in (whole, other)])
    off = np.abs(heights[1] / heights[0] - 1)
    strains = [strain(each.surface.net, each.surface.centres_mm) for each in (whole, other)]
    length = other.found.length_mm - whole.found.length_mm
    return (
        f"{other.surface.coarsening.beads}",
        f"{other.seconds:.1f}",
        f"{heights[0].mean():.2f}",
        f"{heights[1].mean():.2f}",
        f"{off.max():.1%}",
        f"{off.mean():.1%}",
        f"{whole.found.length_mm:.1f}",
        f"{length:+.2f}",
        f"{length / whole.found.length_mm:+.2%}",
        f"{other.found.width_mm - whole.found.width_mm:+.2f}",
        f"{np.sqrt(((strains[1] - strains[0]) ** 2).mean()):.4f}",
        f"{whole.places} {other.places}",
    )


def main() -> None:
    heads = (
        "net",
        "s",
        "height mm",
        "coarse",
        "off max",
        "mean",
        "length",
        "off",
        "share",
        "width",
        "strain",
        "places",
    )
    print(f"{'case':36} factor", *(f"{head:>9}" for head in (*heads, "places")))
    grid = Grid(60, 400)
    works = {name: work(*case) for name, case in CASES.items()}
    works |= {"rings, radius 15": ringed(), "ridges along": ridged(), SPECKLED: (grid, random_levels(grid, 3))}
    for name, (grid, levels) in works.items():
        whole = solved(grid, levels, 1)
        print(f"{name:36} {1:6} {grid.count:9} {whole.seconds:9.1f}", flush=True)
        for factor in FACTORS:
            cells = line(whole, solved(grid, levels, factor))
            print(f"{name:36} {factor:6}", *(f"{cell:>9}" for cell in cells), flush=True)
        if name != SPECKLED:
            cells = line(whole, solved(grid, levels, FACTORS[-1], alone=EVERY))
            print(f"{name:36} {'alone':>6}", *(f"{cell:>9}" for cell in cells), flush=True)


if __name__ == "__main__":
    main()
