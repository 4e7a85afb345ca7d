"""The main job as a whole process at rising sizes: seconds, memory, and how the cost grows with the beads."""

import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

import numpy as np
from measured import Run, best, command

LARGE_SIZES = ((100, 200), (316, 632), (1000, 2000))
"""Columns and rows of works of about 10,000, 100,000 and 1,000,000 beads, all of one shape."""

RUNS = 2

FLOOR = """
import sys
import numpy
from PIL import Image
from sklearn.cluster import KMeans
columns, rows, folder = int(sys.argv[1]), int(sys.argv[2]), sys.argv[3]
with Image.open(folder + "/pool.png") as image:
    cells = numpy.asarray(image.resize((columns, rows + 1), Image.Resampling.BOX), dtype=float).reshape(-1, 3)
KMeans(24, n_init=1, random_state=0).fit(cells[:: max(1, len(cells) // 3000)]).predict(cells)
"""
MAKE = """
import sys
sys.path.insert(0, sys.argv[1])
from pathlib import Path
from works import pool_and_heights
for source in pool_and_heights(int(sys.argv[2]), int(sys.argv[3])):
    Path(sys.argv[4], source.name).write_bytes(source.data)
"""


class Whole(NamedTuple):
    columns: int
    rows: int
    floor: Run
    ours: Run
    start: Run
    """A work of 200 beads from a small picture: little but the loading of libraries."""


def whole(columns: int, rows: int) -> Whole:
    """Measure ``convert`` with a height map and 24 colours, its floor (a bare script), and its start, in turn."""
    with tempfile.TemporaryDirectory() as folder:
        small = Path(folder, "small")
        small.mkdir()
        here = str(Path(__file__).parent)
        best(1, {"pool": [sys.executable, "-c", MAKE, here, str(columns), str(rows), folder]})
        best(1, {"small": [sys.executable, "-c", MAKE, here, "20", "20", str(small)]})
        runs = best(
            RUNS,
            {
                "floor": [sys.executable, "-c", FLOOR, str(columns), str(rows), folder],
                "start": _convert(small, 20, 20, Path(folder, "start")),
                "ours": _convert(Path(folder), columns, rows, Path(folder, "out")),
            },
        )
    return Whole(columns, rows, runs["floor"], runs["ours"], runs["start"])


def _convert(pictures: Path, columns: int, rows: int, out: Path) -> list[str]:
    size = ["--columns", str(columns), "--rows", str(rows), "--colours", "24", "--turn", "0", "--style", "photo"]
    pool, heights = pictures / "pool.png", pictures / "pool-heights.png"
    made = ["--out", str(out), "--force", "--quiet", "--no-surface"]
    return command("convert", str(pool), "--heights", str(heights), *size, *made)


def slope(beads: list[int], seconds: list[float]) -> float:
    """Return the power of the number of beads with which the seconds grow, a straight line through the logarithms."""
    return float(np.polyfit(np.log(beads), np.log(seconds), 1)[0])
