"""Peak memory of the main job on a picture of 100 megapixels, whole process, at 31 columns.

Run by hand: ``.venv/bin/python tests/bench/bench_memory.py [ENDING …]``. The floor is a process that only loads the
picture's pixels with Pillow. No run may take more than 900 MB.
"""

import sys
import tempfile
from pathlib import Path

from measured import measured

SIDE, COLUMNS, MOST_MB = 10_000, 31, 900
SCRIPT = Path(sys.executable).with_name("hummock")
PICTURE = Path(__file__).parents[2] / "samples" / "lighthouse-dusk.png"
HOW = {"jpg": {"quality": 90}, "png": {"compress_level": 1}, "tif": {"compression": "tiff_lzw"}}

MAKE = """
import sys
from PIL import Image
Image.MAX_IMAGE_PIXELS = None
side = int(sys.argv[2])
with Image.open(sys.argv[1]) as image:
    large = image.convert("RGB").resize((side, side), Image.Resampling.BICUBIC)
for ending, how in eval(sys.argv[4]).items():
    large.save(f"{sys.argv[3]}/large.{ending}", **how)
large.convert("L").save(f"{sys.argv[3]}/map.png", compress_level=1)
"""
FLOOR = """
import sys
from PIL import Image
Image.MAX_IMAGE_PIXELS = None
Image.open(sys.argv[1]).load()
"""


def main() -> None:
    endings = sys.argv[1:] or list(HOW)
    print(f"{'picture of 100 megapixels':34} {'floor MB':>9} {'our MB':>7} {'seconds':>8}")
    with tempfile.TemporaryDirectory() as folder:
        how = repr({ending: HOW[ending] for ending in endings})
        measured([sys.executable, "-c", MAKE, str(PICTURE), str(SIDE), folder, how])
        above = False
        for ending in endings:
            path = f"{folder}/large.{ending}"
            floor = measured([sys.executable, "-c", FLOOR, path])
            for name, more in ((ending, []), (f"{ending} and a height map", ["--heights", f"{folder}/map.png"])):
                words = [path, "--columns", str(COLUMNS), *more, "--out", f"{folder}/made", "--force", "--quiet"]
                run = measured([str(SCRIPT), "convert", *words])
                print(f"{name:34} {floor.megabytes:9.0f} {run.megabytes:7.0f} {run.seconds:8.1f}", flush=True)
                above |= run.megabytes > MOST_MB
    if above:
        sys.exit(f"over {MOST_MB} MB")


if __name__ == "__main__":
    main()
