"""Whole-process time and memory of the main job, next to named floors in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_convert.py``. A floor is a bare script in the same
environment that does the unavoidable part. Times are the best of several interleaved runs.
"""

import sys
import tempfile
from pathlib import Path

from measured import Run, best, measured

RUNS = 5
COLUMNS = 31
SCRIPT = Path(sys.executable).with_name("hummock")
PICTURE = Path(__file__).parents[2] / "samples" / "lighthouse-dusk.png"

FLOOR_CONVERT = """
import sys
import numpy
from PIL import Image
from sklearn.cluster import KMeans
with Image.open(sys.argv[1]) as image:
    cells = image.resize((31, 66), Image.Resampling.BOX)
KMeans(6, n_init=4, random_state=0).fit(numpy.asarray(cells, dtype=float).reshape(-1, 3))
"""
MAKE_PICTURE = """
import sys
import numpy as np
from PIL import Image
with Image.open(sys.argv[1]) as image:
    turned = image.convert("RGB").rotate(90, expand=True).resize((4000, 3000), Image.Resampling.BICUBIC)
noise = np.random.default_rng(1).normal(0, 6, (3000, 4000, 3))
Image.fromarray(np.clip(np.asarray(turned) + noise, 0, 255).astype(np.uint8)).save(sys.argv[2], quality=90)
"""
"""Writes a JPEG with detail at every scale; apart from this process, whose memory its children inherit."""

FLOOR_DECODE = """
import sys
import numpy
from PIL import Image
with Image.open(sys.argv[1]) as image:
    numpy.asarray(image.resize((31, 66), Image.Resampling.BOX))
"""
"""What is left of the floor now that no KMeans is fitted any more."""

FLOOR_HELP = "import typer, rich"


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        picture = Path(folder) / "twelve.jpg"
        measured([sys.executable, "-c", MAKE_PICTURE, str(PICTURE), str(picture)])
        made = ["convert", str(picture), "--columns", str(COLUMNS), "--out", str(Path(folder) / "made"), "--force"]
        runs = best(
            RUNS,
            {
                "floor: numpy, Pillow, one KMeans": [sys.executable, "-c", FLOOR_CONVERT, str(picture)],
                "hummock convert, 12 MP JPEG": [str(SCRIPT), *made],
                "floor: numpy, Pillow, without it": [sys.executable, "-c", FLOOR_DECODE, str(picture)],
                "hummock convert, the same again": [str(SCRIPT), *made],
                "floor: import typer, rich": [sys.executable, "-c", FLOOR_HELP],
                "hummock --help": [str(SCRIPT), "--help"],
                "hummock convert --help": [str(SCRIPT), "convert", "--help"],
            },
        )
    floor = Run(0, 0)
    print(f"{'what':36} {'seconds':>8} {'ratio':>6} {'peak MB':>8}")
    for name, run in runs.items():
        floor = run if name.startswith("floor") else floor
        print(f"{name:36} {run.seconds:8.2f} {run.seconds / floor.seconds:6.2f} {run.megabytes:8.0f}")


if __name__ == "__main__":
    main()
