"""The bench suite: every stage at three sizes next to its floor, and the main job as a whole.

``python -m tests.bench`` prints a table and then what single benchmarks tell, ``--save`` writes all to
``tests/bench/RESULT.md`` as well. Each line is measured in a process of its own. Names of stages or benchmarks as
further words measure only these (``convert`` is the main job). Run it on a machine with nothing else to do: the load
before and after stands in the result.
"""

import json
import os
import platform
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from whole import LARGE_SIZES, Whole, slope, whole

from shared.grid import Grid

HERE = Path(__file__).parent

HEADS = ("stage", "columns x rows", "beads", "floor s", "ours s", "ratio", "peak MB")
PRINTED = ((25, 160), (60, 400), (60, 600))
"""Of what is printed or shown row by row nobody makes a wall."""

SIZES = {
    **dict.fromkeys(("decode", "grid", "heights", "domes", "quantise", "choose"), LARGE_SIZES),
    "review": PRINTED,
    **dict.fromkeys(("chart", "rows", "proof", "design file", "sheet", "shopping"), LARGE_SIZES),
    "surface": ((17, 200), (60, 400), (150, 700)),
    **dict.fromkeys(("lengths", "booklet", "page"), PRINTED),
}
FURTHER = {
    "batch": "Many pictures",
    "memory": "Pictures of 100 megapixels",
}
"""Benchmarks ``bench_….py`` that are told of below the table, each with its heading."""


def stage_lines(name: str) -> tuple[list[tuple[str, ...]], str]:
    """Measure a stage at each of its sizes, and say how it grows from the last but one to the last."""
    lines, beads, took = [], [], []
    for columns, rows in SIZES[name]:
        words = [sys.executable, str(HERE / "stages.py"), name, str(columns), str(rows)]
        found = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)
        lines.append(line((name, columns, rows, found["beads"]), found["floor"], found["ours"], found["megabytes"]))
        beads.append(found["beads"])
        took.append(found["ours"])
        print(" | ".join(lines[-1]), flush=True)
    return lines, f"{name} {slope(beads[1:], took[1:]):.2f}"


def whole_lines() -> tuple[list[tuple[str, ...]], str]:
    """Measure the main job, and say how it grows."""
    runs: dict[int, Whole] = {}
    lines = []
    for columns, rows in LARGE_SIZES:
        beads = Grid(columns, rows).count
        runs[beads] = run = whole(columns, rows)
        lines.append(line(("convert", columns, rows, beads), run.floor.seconds, run.ours.seconds, run.ours.megabytes))
        print(" | ".join(lines[-1]), flush=True)
    starts = [run.start.seconds for run in runs.values()]
    sizes, took = list(runs), [run.ours.seconds for run in runs.values()]
    left = [seconds - start for seconds, start in zip(took, starts, strict=True)]
    more = [1e6 * (b - a) / (n - m) for (m, a), (n, b) in pairwise(zip(sizes, took, strict=True))]
    power, last = slope(sizes, left), slope(sizes[1:], left[1:])
    told = (
        f"The start of `convert` (a work of 200 beads) took {min(starts):.2f} to {max(starts):.2f} s; without it the "
        f"cost grows with the beads to the power of {power:.2f} ({last:.2f} from the second to the third size), less "
        f"than 1 because the search for colours and the pixels of the chart are bounded. A bead more costs "
        f"{more[0]:.1f} µs up to the second size and {more[1]:.1f} µs from there to the third."
    )
    return lines, told


def line(what: tuple[str, int, int, int], floor: float, ours: float, peak: float) -> tuple[str, ...]:
    """Write what was measured (stage, columns, rows, beads), seconds and megabytes as cells of the table."""
    name, columns, rows, beads = what
    size, times = f"{columns} x {rows}", ours / floor
    ratio = f"{times:.3g}" if times < 1000 else f"{times:,.0f}"
    return name, size, f"{beads:,}", f"{floor:.3g}", f"{ours:.3g}", ratio, f"{peak:.0f}"


def machine() -> str:
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    python = f"{platform.python_implementation()} {platform.python_version()}"
    return f"{os.cpu_count()} cores ({platform.machine()}), {memory:.0f} GB, {platform.system()}, {python}"


def table(lines: list[tuple[str, ...]]) -> str:
    rule = ("---",) * 2 + ("--:",) * (len(HEADS) - 2)
    return "\n".join("| " + " | ".join(cells) + " |" for cells in (HEADS, rule, *lines))


def further(name: str) -> str:
    """Run a benchmark; return what it tells, as Markdown."""
    words = [sys.executable, str(HERE / f"bench_{name}.py")]
    told = subprocess.run(words, check=True, capture_output=True, text=True).stdout.rstrip()
    print(f"\n{told}", flush=True)
    return f"## {FURTHER[name]}\n\n`bench_{name}.py` tells:\n\n```\n{told}\n```\n"


def main() -> None:
    words = [word for word in sys.argv[1:] if word != "--save"]
    known = ("convert", *SIZES, *FURTHER)
    unknown = [word for word in words if word not in known]
    if unknown:
        sys.exit(f"no stage is called {unknown[0]}; there are {', '.join(known)}")
    wanted = words or known
    before, lines, powers, told = os.getloadavg()[0], [], [], ""
    print(" | ".join(HEADS))
    if "convert" in wanted:
        lines, told = whole_lines()
    for name in SIZES:
        if name in wanted:
            more, power = stage_lines(name)
            lines, powers = lines + more, [*powers, power]
    sections = [further(name) for name in FURTHER if name in wanted]
    load = f"load {before:.1f} before, {os.getloadavg()[0]:.1f} after"
    about = f"Measured on {machine()}; {load}. {told}".strip()
    grows = f"From its second size to its third each stage grows with the beads to the power of: {', '.join(powers)}."
    print(f"{about}\n{grows}")
    if "--save" in sys.argv:
        floors = "Floors are named in `picture_stages.py`, `design_stages.py` and `whole.py`."
        parts = ["# What each stage costs\n", f"{about}\n", f"{grows}\n", f"{floors}\n", f"{table(lines)}\n", *sections]
        (HERE / "RESULT.md").write_text("\n".join(parts), "utf-8")


if __name__ == "__main__":
    main()
