"""Rate of a batch on one and on two cores, and whether each output is what a single run gives.

Run by hand: ``.venv/bin/python tests/bench/bench_batch.py [PICTURES]``, on a machine with two free cores. The pictures,
40 of 2 megapixels, are the sample drawing cut, turned and speckled at random; then the same with height maps of five
domes. The floor is one core; the goal for two is 1.7 times its rate. Each process loads libraries for more than a
second before its first picture, so that work that is quick gains less. A run with all work left out (what was made is
kept) tells what the batch itself takes.
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from measured import Run, command, measured

PICTURES = 40
COMPARED = 4
"""So many of them are also made by themselves."""

RUNS = 2
OPTIONS = ["--columns", "31", "--colours", "8"]

MAKE_PICTURES = """
import sys
from pathlib import Path
import numpy as np
from PIL import Image
random = np.random.default_rng(2)
with Image.open(sys.argv[1]) as image:
    drawing = image.convert("RGB")
for number in range(int(sys.argv[3])):
    left, top = random.integers(0, drawing.width // 3), random.integers(0, drawing.height // 3)
    part = drawing.crop((left, top, left + drawing.width * 2 // 3, top + drawing.height * 2 // 3))
    turned = part.rotate(90 * random.integers(4), expand=True).resize((1250, 1600), Image.Resampling.BICUBIC)
    codes = np.asarray(turned) + random.normal(0, 6, (1600, 1250, 3))
    picture = Image.fromarray(np.clip(codes, 0, 255).astype(np.uint8))
    picture.save(Path(sys.argv[2]) / f"tide-{number:02}.jpg", quality=92)
    picture.save(Path(sys.argv[4]) / f"tide-{number:02}.jpg", quality=92)
    down, across = np.mgrid[:1600, :1250]
    heights = np.zeros((1600, 1250))
    for _ in range(5):
        x, y, radius = random.uniform(150, 1100), random.uniform(150, 1450), random.uniform(100, 220)
        dome = 1 - ((across - x) ** 2 + (down - y) ** 2) / radius**2
        heights = np.maximum(heights, np.sqrt(np.maximum(dome, 0)))
    Image.fromarray((heights * 255).astype(np.uint8)).save(Path(sys.argv[4]) / f"tide-{number:02}-heights.png")
"""
"""Apart from this process, whose memory its children inherit."""


def batch(pictures: Path, out: Path, jobs: int) -> Run:
    return measured(command("batch", str(pictures), *OPTIONS, "--jobs", str(jobs), "--out", str(out), "--quiet"))


def differing(pictures: Path, batches: list[Path]) -> list[str]:
    """Make some pictures one by one; return the outputs that are not the same bytes in each batch."""
    found = []
    for picture in sorted(pictures.glob("*.jpg"))[:COMPARED]:
        alone = batches[0].parent / "alone" / picture.stem
        heights = picture.with_name(f"{picture.stem}-heights.png")
        more = ["--heights", str(heights)] if heights.is_file() else []
        measured(command("convert", str(picture), *more, *OPTIONS, "--out", str(alone), "--quiet"))
        for file in alone.iterdir():
            same = all((out / picture.stem / file.name).read_bytes() == file.read_bytes() for out in batches)
            found += [] if same else [f"{picture.stem}/{file.name}"]
    return found


def unlike(one: Path, other: Path) -> list[str]:
    """Return the outputs of pictures that differ between two batches."""
    files = [file.relative_to(one) for file in one.glob("*/*") if file.is_file()]
    return [str(file) for file in files if (one / file).read_bytes() != (other / file).read_bytes()]


def rates_of(what: str, pictures: Path, number: int, room: Path) -> None:
    """Measure batches of one folder of pictures, and tell."""
    print(f"{number} pictures of 2 megapixels, {what}; load {os.getloadavg()[0]:.1f}")
    rates: dict[int, list[float]] = {1: [], 2: []}
    for turn in range(RUNS):
        for jobs, rate in rates.items():
            run = batch(pictures, room / f"{turn}-{jobs}", jobs)
            rate.append(number / run.seconds)
            print(f"--jobs {jobs}: {run.seconds:6.2f} s, {rate[-1]:5.2f} pictures a second", flush=True)
    kept = batch(pictures, room / "0-2", 2)
    print(f"all kept: {kept.seconds:5.2f} s")
    print(f"two cores at {max(rates[2]) / max(rates[1]):.2f} times the rate of one")
    batches = [room / f"0-{jobs}" for jobs in rates]
    wrong = differing(pictures, batches) + unlike(*batches)
    print("not the same bytes: " + ", ".join(wrong) if wrong else "each output is the same bytes as a single run's")


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else PICTURES
    sample = Path(__file__).parents[2] / "samples" / "lighthouse-dusk.png"
    with tempfile.TemporaryDirectory() as folder:
        kinds = {"drawings alone": Path(folder) / "flat", "with height maps": Path(folder) / "domed"}
        for pictures in kinds.values():
            pictures.mkdir()
        flat, domed = map(str, kinds.values())
        subprocess.run([sys.executable, "-c", MAKE_PICTURES, str(sample), flat, str(number), domed], check=True)
        for what, pictures in kinds.items():
            room = Path(folder) / f"{pictures.name}-made"
            room.mkdir()
            rates_of(what, pictures, number, room)


if __name__ == "__main__":
    main()
