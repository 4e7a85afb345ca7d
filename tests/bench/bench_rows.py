"""Whole-process time of ``hummock rows`` and ``hummock proof`` on a bracelet of 17 columns and 160 rows.

Run by hand: ``.venv/bin/python tests/bench/bench_rows.py``. The floor is ``hummock --version`` in the same run, taken
by turns with the others; what is allowed is 1.2 times the floor and half a second.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from relief import rings
from strategies import LADDER, bead_of

from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid

RUNS = 11
COMMAND = [sys.executable, "-c", "from convert.commands.app import main; main()"]


def bracelet(*, busy: bool) -> Design:
    """Eight domes; six colours without order, or none besides those of the domes."""
    grid = Grid(17, 160)
    levels = rings(grid, *((row, 9) for row in range(11, 160, 20)), radii=(0.5, 1.5, 2.5))
    kinds = 4 * (np.arange(grid.count) * 7919 % 6) * busy + levels
    used, cells = np.unique(kinds, return_inverse=True)
    beads = tuple(bead_of(kind // 4, kind % 4) for kind in used.tolist())
    return Design("Cuff", grid, LADDER, beads, cells)


def seconds(*words: str) -> float:
    begin = time.perf_counter()
    subprocess.run([*COMMAND, *words], check=True, capture_output=True, cwd=Path(__file__).parents[2])
    return time.perf_counter() - begin


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
        times: dict[str, list[float]] = {name: [] for name in jobs}
        for _ in range(RUNS):
            for name, words in jobs.items():
                times[name].append(seconds(*words))
    print(f"{'':18}{'least s':>9}{'median s':>9}")
    for name, runs in times.items():
        print(f"{name:18}{min(runs):9.3f}{statistics.median(runs):9.3f}")
    least, middle = (1.2 * pick(times["--version"]) + 0.5 for pick in (min, statistics.median))
    print(f"{'allowed':18}{least:9.3f}{middle:9.3f}")


if __name__ == "__main__":
    main()
