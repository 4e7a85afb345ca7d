"""Time and memory of the files of a predicted surface, next to a floor in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_surface_files.py``. The floor is to save the picture's own
pixels as PNG with Pillow. Processor times wander less than wall times on a busy machine. The last two rows are
the whole main job with and without the predicted length.
"""

import io
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from bench_convert import SCRIPT
from bench_surface import sheet, strip
from strategies import SIZES, bead_of

from convert.surface.prediction import Prediction, predict
from convert.surface.render.glb import surface_glb
from convert.surface.render.png import surface_png
from convert.surface.surface_files import surface_json
from shared.design import Design

SAMPLES = Path(__file__).parents[2] / "samples"
RUNS = 3


def of(make: Any) -> tuple[Design, Prediction]:
    grid, levels = make()
    beads = tuple(bead_of(5 * level, level) for level in range(4))
    return Design("Bench", grid, SIZES, beads, levels), predict(grid, SIZES, levels)


def timed(make: Any) -> tuple[float, float, Any]:
    """Return the least wall and processor seconds of some runs, and what was made."""
    runs = []
    for _ in range(RUNS):
        wall, work = time.perf_counter(), time.process_time()
        made = make()
        runs.append((time.perf_counter() - wall, time.process_time() - work))
    return min(wall for wall, _ in runs), min(work for _, work in runs), made


def saved(pixels: Any) -> bytes:
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", compress_level=4)
    return file.getvalue()


def row(name: str, wall: float, work: float, size: int, floor: float) -> None:
    print(f"{name:34} {wall:7.2f} {work:7.2f} {size / 1e3:9.0f} {wall / floor:8.1f}", flush=True)


def main() -> None:
    print(f"{'what':34} {'s':>7} {'cpu s':>7} {'kB':>9} {'x floor':>8}")
    for name, make in (("17 x 200", lambda: strip(200)), ("60 x 400", sheet)):
        design, prediction = of(make)
        surface = prediction.surface
        wall, work, png = timed(lambda d=design, p=prediction: surface_png(p.surface, d, p.found, summary=p.summary))
        pixels = np.asarray(Image.open(io.BytesIO(png)))
        floor, floor_work, again = timed(lambda p=pixels: saved(p))
        row(f"{name} floor: Pillow saves the pixels", floor, floor_work, len(again), floor)
        row(f"{name} surface.png", wall, work, len(png), floor)
        wall, work, glb = timed(lambda d=design, s=surface: surface_glb(s, d))
        row(f"{name} surface.glb", wall, work, len(glb), floor)
        wall, work, text = timed(lambda p=prediction: surface_json(p, title="Bench"))
        row(f"{name} surface.json", wall, work, len(text), floor)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak {peak:.0f} MB")
    with tempfile.TemporaryDirectory() as folder:
        main_job(folder, floor)


def main_job(folder: str, floor: float) -> None:
    for extra in ([], ["--no-surface"]):
        picture = [SAMPLES / "shoreline.png", "--heights", SAMPLES / "shoreline-heights.png", "--columns", "25"]
        words = [SCRIPT, "convert", *picture, *extra, "--out", folder, "--force", "--quiet"]
        before = os.times()
        wall, _, _ = timed(lambda w=words: subprocess.run(list(map(str, w)), check=True))
        work = (os.times().children_user - before.children_user) / RUNS
        row(f"convert shoreline {' '.join(extra)}", wall, work, 0, floor)


if __name__ == "__main__":
    main()
