"""The notes below the table of sizes: what its figures mean, and how the work is made longer or shorter."""

from collections.abc import Iterator, Sequence
from math import floor
from typing import NamedTuple

from convert.buying.growth import Growth
from convert.buying.lengths import Fit
from convert.buying.wrists import SURVEY, SURVEY_SIZES
from convert.documents.booklet.choices import Choices
from shared.counting import counted

_HAIR_MM = 1e-6


class LeftOver(NamedTuple):
    """What whole rounds leave of the length that the beadwork may have."""

    mm: float
    """That length."""
    rows: int
    """The plain rows that fill it, an even number."""
    needed: bool
    """Whether the bracelet does not close without them: beadwork and clasp are shorter than the wrist."""

    def __str__(self) -> str:
        rows = f", {self.rows} rows" if self.rows else ""
        return f"{self.mm:.0f} mm{rows}{', needed' if self.needed else ''}"


def left_over(one: Fit, growth: Growth, choices: Choices) -> LeftOver:
    """Return what a fit leaves over."""
    rows = 2 * floor((one.left_over_mm + _HAIR_MM) / (2 * growth.row_mm))
    short = one.finished_mm + choices.clasp_mm < one.size.wrist_mm - _HAIR_MM
    return LeftOver(one.left_over_mm, rows, short)


def size_notes(fits: Sequence[Fit], growth: Growth, choices: Choices) -> Iterator[str]:
    """Yield the notes for a table of these fits."""
    yield (
        f"Beadwork is no longer than wrist + {choices.ease_mm:g} mm of ease - {choices.clasp_mm:g} mm for the clasp; "
        "measure your own wrist and clasp."
    )
    yield f"Sizes: {SURVEY}."
    if growth.predicted:
        yield "Lengths come from the predicted surface and are estimates; stitch a sample and measure it."
    if growth.note:
        yield f"{growth.note[0].upper()}{growth.note[1:]}."
    if 0 < len(fits) < len(SURVEY_SIZES):
        yield "Smaller wrists than those listed are too small for this work."
    yield from _left_over_notes(fits, growth, choices)


def _left_over_notes(fits: Sequence[Fit], growth: Growth, choices: Choices) -> Iterator[str]:
    left = [left_over(one, growth, choices) for one in fits if one.rounds is not None]
    if not any(one.rows for one in left):
        return
    yield (
        "Left over: what the beadwork is shorter than it may be, and how many plain rows fill it, with "
        f"{growth.row_mm:.2f} mm to a row; they are not among the rows and beads listed. Put one half of them before "
        "row 1, an even number, and the rest at the end."
    )
    if any(one.needed for one in left):
        need = counted(sum(one.needed for one in left), "line")
        yield (
            f"Needed, in {need} of this table: without plain rows or a longer clasp that bracelet does not close, for "
            "beadwork and clasp together are shorter than the wrist."
        )
