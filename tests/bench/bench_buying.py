"""Time of lengths, shopping and sheets of a bracelet as whole processes, next to a floor in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_buying.py``. The floor is ``hummock --version``. Processor times, for
they wander less than wall times on a busy machine; the allowance is 1.2 times the floor and half a second. With domes
the surface is predicted, so there is no allowance.
"""

import resource
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from size_levels import ten_domes
from strategies import SIZES, bead_of

from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid

SCRIPT = "from convert.cli.app import main; main()"
RUNS = 5


def seconds(*words: str) -> float:
    best = float("inf")
    for _ in range(RUNS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-c", SCRIPT, *words], check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        best = min(best, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return best


def works() -> dict[str, Design]:
    random, grid = np.random.default_rng(0), Grid(17, 160)
    beads = tuple(bead_of(colour, 0) for colour in range(6))
    block = random.integers(0, 6, (16, 18))
    repeated = block[(grid.row_of - 4) % 16, grid.column_of]
    domed, levels = ten_domes(160)
    return {
        "flat": Design("Flat", grid, SIZES, beads, random.integers(0, 6, grid.count)),
        "repeated": Design("Ripples", grid, SIZES, beads, repeated),
        "domes": Design("Limpets", domed, SIZES, tuple(bead_of(0, level) for level in range(4)), levels),
    }


def main() -> None:
    floor = seconds("--version")
    print(f"{'--version':24}{floor:7.2f} s; allowance {1.2 * floor + 0.5:.2f} s")
    with tempfile.TemporaryDirectory() as room:
        for name, work in works().items():
            path = Path(room) / f"{name}.json"
            path.write_text(design_text(work), "utf-8")
            for words in (["lengths", "--sizes"], ["shopping"], ["shopping", "--kits", "25"], ["sheet"]):
                took = seconds(*words, str(path), "--out", str(Path(room) / "out"), "--force")
                print(f"{name + ' ' + ' '.join(words):32}{took:7.2f} s")


if __name__ == "__main__":
    main()
