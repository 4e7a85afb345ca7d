"""What a worker does for one picture of a batch; it touches no disk, so that any machine can do it."""

import time
from typing import Any, NamedTuple

import numpy as np

from convert.chart.png import png_bytes
from convert.chart.small_chart import small_chart
from convert.pattern import Job, Made, make
from shared.design import Design
from shared.errors import HummockError

_PAPER = "#e6e8e8"


class Face(NamedTuple):
    """A pattern as it shows on the contact sheet of its batch."""

    title: str
    """Of the design."""
    chart: bytes
    """A small picture, PNG."""


def face_of(design: Design) -> Face:
    """Paint a design small."""
    return Face(design.title, png_bytes(small_chart(design, paper=_PAPER), dots_per_inch=96))


class ReportFigures(NamedTuple):
    """What the report says of a picture."""

    columns: int
    rows: int
    beads: int
    """In the work."""
    to_buy: int
    """Colours in sizes."""
    colour_difference: float
    """Mean CIEDE2000 to the picture."""
    cost: str
    """In the user's own money; empty where a price is not known."""

    def to_values(self) -> dict[str, Any]:
        """Write them as values that JSON can hold."""
        return self._asdict()


class Done(NamedTuple):
    """What became of one job."""

    number: int
    """Which one it was."""
    seconds: float
    """How long it took."""
    files: dict[str, bytes] | None
    """The content of each file; None when it failed."""
    figures: ReportFigures | None
    """None when it failed."""
    message: str = ""
    """Why it failed."""
    face: Face | None = None
    """How it shows on the contact sheet; None when it failed."""


def do(number: int, job: Job) -> Done:
    """Do one job; a picture that cannot be used, or a fault of ours with it, must not stop the others."""
    begun = time.perf_counter()
    try:
        made = make(job)
    except HummockError as error:
        return Done(number, time.perf_counter() - begun, None, None, str(error))
    except Exception as error:  # noqa: BLE001 - the batch goes on, and the report names it
        message = f"{job.picture.name}: a fault of Hummock, {type(error).__name__}: {error}"
        return Done(number, time.perf_counter() - begun, None, None, message)
    face = face_of(made.pattern.design)
    return Done(number, time.perf_counter() - begun, made.files, _figures_of(made), face=face)


def _figures_of(made: Made) -> ReportFigures:
    from convert.shopping.packs import money

    design = made.pattern.design
    costs = [purchase.cost for purchase in made.purchases]
    return ReportFigures(
        columns=design.grid.columns,
        rows=design.grid.rows,
        beads=design.grid.count,
        to_buy=len(design.beads),
        colour_difference=round(float(np.mean(made.pattern.errors)), 3),
        cost="" if None in costs else money(sum(cost for cost in costs if cost is not None)),  # type: ignore[arg-type]
    )
