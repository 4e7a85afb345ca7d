"""One stage of the work at one size, in a process of its own: seconds, those of its floor, and peak memory as JSON.

``python tests/bench/stages.py STAGE COLUMNS ROWS``. The picture, the heights and the designs depend on the size alone.
A floor is what cannot be left out, done by a library that many use; each stage names its own, in `picture_stages.py`
and `design_stages.py`.
"""

import json
import resource
import sys
import timeit
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from design_stages import DESIGN_STAGES
from picture_stages import PICTURE_STAGES
from works import Stage

from shared.grid import Grid

STAGES: dict[str, Callable[[int, int], Stage]] = PICTURE_STAGES | DESIGN_STAGES

SHORT = 0.02
"""Seconds: shorter jobs are done several times at once."""


def least_seconds(job: Callable[[], Any], times: int) -> float:
    """Return the least time of a job; a short one is done often enough to be told from nothing."""
    once = timeit.timeit(job, number=1)
    number = max(1, round(SHORT / max(once, 1e-7)))
    return min(once, *(timeit.timeit(job, number=number) / number for _ in range(times - 1)))


def main() -> None:
    name, columns, rows = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    stage = STAGES[name](columns, rows)
    stage.floor()  # loads what it needs
    times = 3 if columns * rows < 500_000 else 2
    floor, ours = least_seconds(stage.floor, times), least_seconds(stage.work, times)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"beads": Grid(columns, rows).count, "floor": floor, "ours": ours, "megabytes": peak}))


if __name__ == "__main__":
    main()
