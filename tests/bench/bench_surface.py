"""Time and memory of the predicted surface, next to a floor in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_surface.py``. Each case runs in a process of its own, so that
its memory is its own. The floor is one banded Cholesky and one solve of the matrix that the descent stands on.
Wall times wander on a busy machine; processor times less.
"""

import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from size_levels import random_levels, rings

from convert.surface.continuation import BENDING, SHIFT
from convert.surface.energy import bend_matrix, difference_matrix
from convert.surface.lbfgs import banded_cholesky
from convert.surface.solve import solve_surface
from convert.surface.spring_net import make_net
from convert.surface.stitch_problems import find_stitch_problems
from shared.beads import default_bead_sizes
from shared.grid import Grid

RUNS = 3


def strip(rows: int) -> tuple[Grid, Any]:
    grid = Grid(17, rows)
    return grid, rings(grid, *((row, 9) for row in range(11, rows, 20)), radii=(0.5, 1.5, 2.5))


def sheet() -> tuple[Grid, Any]:
    grid = Grid(60, 400)
    return grid, rings(grid, *((r, c) for r in range(25, 400, 50) for c in (16, 30, 44)), radii=(0.5, 2.5, 4.5))


def random_sizes(columns: int, rows: int) -> tuple[Grid, Any]:
    return Grid(columns, rows), random_levels(Grid(columns, rows), 1)


CASES: dict[str, Callable[[], tuple[Grid, Any]]] = {
    "17 x 200 graded": lambda: strip(200),
    "17 x 400 graded": lambda: strip(400),
    "17 x 800 graded": lambda: strip(800),
    "17 x 1600 graded": lambda: strip(1600),
    "17 x 200 random": lambda: random_sizes(17, 200),
    "60 x 400 graded": sheet,
    "60 x 400 random": lambda: random_sizes(60, 400),
}


def measure(name: str) -> dict[str, Any]:
    from scipy import linalg, sparse, spatial  # noqa: F401  loading them is no part of the solve

    grid, levels = CASES[name]()
    start, cpu = time.perf_counter(), time.process_time()
    surface = solve_surface(grid, default_bead_sizes(), levels)
    seconds, work = time.perf_counter() - start, time.process_time() - cpu
    start = time.perf_counter()
    places = len(find_stitch_problems(surface))
    return {
        "seconds": seconds,
        "work": work,
        "report": time.perf_counter() - start,
        "iterations": surface.iterations,
        "converged": surface.converged,
        "places": places,
        "peak": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "floor": floor(grid, levels),
    }


def floor(grid: Grid, levels: Any) -> float:
    """Return the seconds of one factor and one solve, the lesser of several tries."""
    matrix = shape_matrix(grid, levels)
    tries = []
    for _ in range(5):
        start = time.perf_counter()
        factor_and_solve(matrix)
        tries.append(time.perf_counter() - start)
    return min(tries)


def shape_matrix(grid: Grid, levels: Any) -> Any:
    """Return the matrix that the descent stands on."""
    from scipy.sparse import diags_array, eye_array

    net = make_net(grid, default_bead_sizes(), levels)
    difference, bend = difference_matrix(net), bend_matrix(net)
    contacts = difference.T @ diags_array(1 / net.rest_mm**2) @ difference
    return (contacts + BENDING * bend.T @ bend + SHIFT * eye_array(net.beads)).tocsr()


def factor_and_solve(matrix: Any) -> None:
    from threadpoolctl import threadpool_limits

    with threadpool_limits(limits=1, user_api="blas"):
        banded_cholesky(matrix).solve(np.ones((3, matrix.shape[0])))


def main() -> None:
    if len(sys.argv) > 1:
        print(json.dumps(measure(sys.argv[1])))
        return
    heads = ("beads", "s", "cpu s", "steps", "rest", "MB", "floor ms", "x floor", "fit s")
    print(f"{'case':18}", *(f"{head:>8}" for head in heads))
    for name, make in CASES.items():
        runs = [
            json.loads(subprocess.run([sys.executable, __file__, name], capture_output=True, check=True).stdout)
            for _ in range(RUNS)
        ]
        run = min(runs, key=lambda one: one["seconds"])
        base = min(one["floor"] for one in runs)
        cells = (
            f"{make()[0].count}",
            f"{run['seconds']:.2f}",
            f"{min(one['work'] for one in runs):.2f}",
            f"{run['iterations']}",
            "yes" if run["converged"] else "NO",
            f"{run['peak']:.0f}",
            f"{base * 1e3:.1f}",
            f"{run['seconds'] / base:.0f}",
            f"{run['report']:.2f}",
        )
        print(f"{name:18}", *(f"{cell:>8}" for cell in cells), flush=True)


if __name__ == "__main__":
    main()
