"""The main job for works of as many beads in other shapes, as whole processes: seconds, processor time and memory.

Run by hand: ``.venv/bin/python tests/bench/bench_shapes.py [BEADS ...]``, by default 10,000 to 1,000,000 beads
(minutes). Each shape is a strip of two columns, a strip of eight, a panel, or two rows; all show the same picture.
Processor time tells the same on a machine that has other work.
"""

import sys
import tempfile
from pathlib import Path

from measured import Run, command, measured
from whole import slope

PICTURE = Path(__file__).parents[2] / "samples" / "tide-pool.png"
BEADS = (10_000, 100_000, 1_000_000)

SHAPES = {
    "2 x N": lambda beads: (2, beads),
    "8 x N": lambda beads: (8, beads // 4),
    "panel": lambda beads: (round(beads**0.5), round(2 * beads**0.5)),
    "N x 2": lambda beads: (beads, 2),
}
"""Columns and rows of a work of about n beads."""


def converted(columns: int, rows: int) -> Run:
    """Measure ``convert`` with one size."""
    with tempfile.TemporaryDirectory() as folder:
        size = ["--columns", str(columns), "--rows", str(rows), "--turn", "0"]
        return measured(command("convert", str(PICTURE), *size, "--out", folder, "--force", "--quiet"))


def main() -> None:
    wanted = [int(word.replace(",", "")) for word in sys.argv[1:]] or BEADS
    print(f"{'shape':6} {'columns x rows':>16} {'beads':>10} {'seconds':>8} {'cpu':>6} {'peak MB':>8}")
    for name, shape in SHAPES.items():
        took = []
        for beads in wanted:
            columns, rows = shape(beads)
            run = converted(columns, rows)
            took.append(run.processor)
            size = f"{columns} x {rows}"
            print(
                f"{name:6} {size:>16} {beads:10,} {run.seconds:8.1f} {run.processor:6.1f} {run.megabytes:8.0f}",
                flush=True,
            )
        if len(wanted) > 1:
            power = slope(wanted[-2:], took[-2:])
            print(f"{name:6} from the last size but one, the cost grows with the beads to the power of {power:.2f}")


if __name__ == "__main__":
    main()
