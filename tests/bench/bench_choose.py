"""Time of choosing the best few of 200 beads for 12,000 cells, as ratios to one KMeans fit on the same cells.

Run by hand: ``.venv/bin/python tests/bench/bench_choose.py``. The cells are those of an open picture that comes with
scikit-image, the beads colours at random in sRGB. Times are the best of several interleaved runs.
"""

import sys
import time
from pathlib import Path

import numpy as np
from sklearn.cluster import KMeans
from threadpoolctl import threadpool_limits

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from open_pictures import open_picture
from picture_oracle import light

from palettes.colour import Supply, colour_from_hex
from palettes.match import match_each
from palettes.match_request import CellsToMatch, Wishes
from palettes.palette import Palette
from shared.beads import default_bead_sizes
from shared.colour import lab_from_linear

RUNS = 5
BEADS = 200
SIDE = 110
"""Cells down and across: 12,100."""


def cells_lab(name):
    """Mean of SIDE x SIDE blocks in linear light."""
    pixels = light(open_picture(name))
    down, across = pixels.shape[0] // SIDE, pixels.shape[1] // SIDE
    blocks = pixels[: down * SIDE, : across * SIDE].reshape(SIDE, down, SIDE, across, 3)
    return lab_from_linear(blocks.mean(axis=(1, 3)).reshape(-1, 3))


def palette(rng):
    """Make 200 colours, a third of them not in every size."""
    sizes = [size.name for size in default_bead_sizes().sizes]
    made = [sizes if rng.random() < 2 / 3 else sizes[: rng.integers(1, 4)] for _ in range(BEADS)]
    return Palette(
        "bench",
        tuple(
            colour_from_hex(f"bead {place}", f"#{rng.integers(0, 1 << 24):06x}", tuple(Supply(size) for size in names))
            for place, names in enumerate(made)
        ),
    )


def best(jobs):
    """Run the jobs in turn, several times; return the least time of each in seconds."""
    times = {name: [] for name in jobs}
    for _ in range(RUNS):
        for name, job in jobs.items():
            start = time.perf_counter()
            job()
            times[name].append(time.perf_counter() - start)
    return {name: min(all_) for name, all_ in times.items()}


def k_means(lab, colours):
    with threadpool_limits(1):
        KMeans(colours, n_init=1, random_state=0).fit(lab)


def main() -> None:
    rng = np.random.default_rng(1)
    beads, bead_sizes = palette(rng), default_bead_sizes()
    lab = cells_lab("astronaut")
    flat = CellsToMatch(lab, np.zeros(len(lab), dtype=np.int64))
    domed = CellsToMatch(lab, rng.integers(0, 4, len(lab)))
    times = best(
        {
            "floor: one KMeans fit, 16 colours": lambda: k_means(lab, 16),
            "best 6 of 200 colours": lambda: match_each(flat, beads, bead_sizes, [6]),
            "best 16 of 200 colours": lambda: match_each(flat, beads, bead_sizes, [16]),
            "the same, cells in four sizes": lambda: match_each(domed, beads, bead_sizes, [16]),
            "best 16 of the beads in four sizes": lambda: match_each(domed, beads, bead_sizes, [16], Wishes("kinds")),
            "each of 2 to 16 of 200 colours": lambda: match_each(flat, beads, bead_sizes, range(2, 17)),
        }
    )
    floor = next(iter(times.values()))
    print(f"{len(lab):,} cells")
    print(f"{'what':36} {'seconds':>8} {'ratio':>6}")
    for name, seconds in times.items():
        print(f"{name:36} {seconds:8.3f} {seconds / floor:6.2f}")


if __name__ == "__main__":
    main()
