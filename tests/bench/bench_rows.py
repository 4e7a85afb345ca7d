"""Whole-process time of ``hummock rows`` and ``hummock proof`` on a bracelet of 17 columns and 160 rows.

Run by hand: ``.venv/bin/python tests/bench/bench_rows.py``. The floor is ``hummock --version`` in the same run, taken
by turns with the others; what is allowed is 1.2 times the floor and half a second. Processor times wander less than
wall times on a busy machine.
"""

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from size_levels import rings
from strategies import SIZES, bead_of

from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid

RUNS = 11
COMMAND = [sys.executable, "-c", "from convert.cli.app import main; main()"]


def bracelet(*, busy: bool) -> Design:
    """Eight domes; six colours without order, or none besides those of the domes."""
    grid = Grid(17, 160)
    levels = rings(grid, *((row, 9) for row in range(11, 160, 20)), radii=(0.5, 1.5, 2.5))
    kinds = 4 * (np.arange(grid.count) * 7919 % 6) * busy + levels
    used, cells = np.unique(kinds, return_inverse=True)
    beads = tuple(bead_of(kind // 4, kind % 4) for kind in used.tolist())
    return Design("Cuff", grid, SIZES, beads, cells)


def seconds(*words: str) -> tuple[float, float]:
    """Return the wall and processor seconds of a command."""
    before, begin = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run([*COMMAND, *words], check=True, capture_output=True, cwd=Path(__file__).parents[2])
    wall, after = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for name in ("busy", "repeat"):
            place = Path(folder) / name
            place.mkdir()
            (place / "design.json").write_text(design_text(bracelet(busy=name == "busy")), "utf-8")
        busy, repeat, back = (f"{folder}/{name}" for name in ("busy", "repeat", "back"))
        jobs = {
            "--version": ["--version"],
            "rows, no repeat": ["rows", busy, "--force"],
            "rows, a repeat": ["rows", repeat, "--force"],
            "proof": ["proof", f"{busy}/rows.txt", "--out", back, "--force"],
            "proof --against": ["proof", f"{busy}/rows.txt", "--against", busy, "--out", back, "--force"],
        }
        times: dict[str, list[tuple[float, float]]] = {name: [] for name in jobs}
        for _ in range(RUNS):
            for name, words in jobs.items():
                times[name].append(seconds(*words))
    print(f"{'':18}{'least wall':>12}{'middle wall':>12}{'least processor s':>19}")
    table = {name: _figures(runs) for name, runs in times.items()}
    table["allowed"] = tuple(1.2 * figure + 0.5 for figure in table["--version"])
    for name, (least, middle, processor) in table.items():
        print(f"{name:18}{least:12.3f}{middle:12.3f}{processor:19.3f}")


def _figures(runs: list[tuple[float, float]]) -> tuple[float, ...]:
    walls, processor = zip(*runs, strict=True)
    return min(walls), statistics.median(walls), min(processor)


if __name__ == "__main__":
    main()
