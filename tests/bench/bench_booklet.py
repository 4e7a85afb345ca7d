"""Whole-process time and memory of the booklet, next to a named floor in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_booklet.py``. Beads are of random colours, which is harder than any
pattern: hardly two beads in a row are alike. Goals: 25 x 160 in 2 s, 60 x 600 in 8 s and 500 MB.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

from measured import best

RUNS = 3
SCRIPT = Path(sys.executable).with_name("hummock")

FLOOR = """
import numpy, typer, typst
typst.compile(b"= A page of text")
"""
MAKE_DESIGN = """
import sys
from pathlib import Path
import numpy as np
from shared.size_steps import keep_size_step_rule
from shared.beads import default_bead_sizes
from shared.colour import codes_from_hex, lab_from_codes
from shared.design import Bead, Design
from shared.design_file import design_text
from shared.grid import Grid
columns, rows, domed = map(int, sys.argv[1:4])
grid, bead_sizes = Grid(columns, rows), default_bead_sizes()
colours = ("#24506d", "#63b3a3", "#ead3a2", "#f8f4e9", "#e3644a", "#15212d", "#8a5a83", "#b0b9a8")
random = np.random.default_rng(1)
levels = np.zeros(grid.count, dtype=np.int64)
if domed:
    near = np.hypot((grid.row_of % 40 - 20) / 2, grid.column_of - columns / 2)
    levels = keep_size_step_rule((near < 5).astype(np.int64) * 2 + (near < 3), grid, slopes="trim")
colour = random.integers(len(colours), size=grid.count)
kinds, cells = np.unique(colour * len(bead_sizes.sizes) + levels, return_inverse=True)
beads = []
for kind in kinds.tolist():
    place, level = divmod(kind, len(bead_sizes.sizes))
    lab = tuple(np.round(lab_from_codes(codes_from_hex(colours[place])), 4).tolist())
    size = bead_sizes.sizes[level]
    beads.append(Bead("ABCDEFGH"[place] + bead_sizes.marks[level], size.name, colours[place], lab, f"colour {place}"))
design = Design("Random beads", grid, bead_sizes, tuple(beads), cells)
Path(sys.argv[4]).write_text(design_text(design), encoding="utf-8")
"""
WORKS = {"25 x 160, flat": (25, 160, 0), "25 x 160, domes": (25, 160, 1), "60 x 600, flat": (60, 600, 0),
         "60 x 600, domes": (60, 600, 1)}  # fmt: skip


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        commands = {"floor: numpy, typer, one page": [sys.executable, "-c", FLOOR]}
        for place, (name, (columns, rows, domed)) in enumerate(WORKS.items()):
            design = Path(folder) / f"{place}" / "design.json"
            design.parent.mkdir()
            size = [str(columns), str(rows), str(domed)]
            subprocess.run([sys.executable, "-c", MAKE_DESIGN, *size, str(design)], check=True)
            commands[name] = [str(SCRIPT), "booklet", str(design), "--force"]
        runs = best(RUNS, commands)
    floor = runs["floor: numpy, typer, one page"]
    print(f"{'what':32} {'seconds':>8} {'ratio':>6} {'peak MB':>8}")
    for name, run in runs.items():
        print(f"{name:32} {run.seconds:8.2f} {run.seconds / floor.seconds:6.2f} {run.megabytes:8.0f}")


if __name__ == "__main__":
    main()
