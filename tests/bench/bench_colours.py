"""Whole-process time of the review of the colour count, next to one KMeans fit on the same cells.

Run by hand: ``.venv/bin/python tests/bench/bench_colours.py``. Times are the best of several interleaved runs.
"""

import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

from bench_convert import MAKE_PICTURE, PICTURE, measured

RUNS = 3
COLUMNS, LARGE_COLUMNS = 31, 105
SCRIPT = Path(sys.executable).with_name("hummock")

HELPERS = Path(__file__).parents[1] / "helpers"

FIT = """
import sys, time
sys.path.insert(0, sys.argv[3])
from convert.image.decode import Source
from convert.options import Options
from flows import cells_lab
from convert.colouring.quantise import quantise_each
from sklearn.cluster import KMeans
from threadpoolctl import threadpool_limits
data = open(sys.argv[1], "rb").read()
cells = cells_lab(Source("picture", data), None, Options(columns=int(sys.argv[2])))
with threadpool_limits(limits=1):
    KMeans(6, n_init=4, random_state=0).fit(cells)
    start = time.perf_counter()
    KMeans(6, n_init=4, random_state=0).fit(cells)
    middle = time.perf_counter()
quantise_each(cells, range(2, 17))
print(len(cells), middle - start, time.perf_counter() - middle)
"""


class Fitted(NamedTuple):
    cells: int
    one_fit: float
    """Seconds of one KMeans fit."""
    palettes: float
    """Seconds of the palettes of 2 to 16 colours."""


def fitted(picture: Path, columns: int) -> Fitted:
    command = [sys.executable, "-c", FIT, str(picture), str(columns), str(HELPERS)]
    words = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    return Fitted(int(words[0]), float(words[1]), float(words[2]))


def timed(command: list[str]) -> tuple[float, float]:
    """Run a command; return its wall time and its processor time."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = measured(command).seconds
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return seconds, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        picture = Path(folder) / "twelve.jpg"
        measured([sys.executable, "-c", MAKE_PICTURE, str(PICTURE), str(picture)])
        command = [str(SCRIPT), "colours", str(picture), "--columns", str(COLUMNS)]
        command += ["--out", str(Path(folder) / "made"), "--force"]
        runs = [(timed(command), fitted(picture, COLUMNS)) for _ in range(RUNS)]
        large = fitted(picture, LARGE_COLUMNS)
    fit = min(fit.one_fit for _, fit in runs)
    swept = min(fit.palettes for _, fit in runs)
    whole, busy = min(seconds for (seconds, _), _ in runs), min(busy for (_, busy), _ in runs)
    print(f"12 MP JPEG, {COLUMNS} columns, {runs[0][1].cells:,} cells; ratios to one KMeans fit of {fit:.3f} s")
    print(f"hummock colours, 2 to 16        {whole:6.2f} s  x {whole / fit:4.0f}   {busy:.2f} s of processor time")
    print(f"palettes of 2 to 16 alone       {swept:6.2f} s  x {swept / fit:4.0f}")
    print(f"the same for {large.cells:,} cells     {large.palettes:6.2f} s  x {large.palettes / large.one_fit:4.0f}")


if __name__ == "__main__":
    main()
