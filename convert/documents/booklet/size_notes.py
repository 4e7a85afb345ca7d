"""The notes below the table of sizes: what its figures mean, and how the work is made longer or shorter."""

from collections.abc import Iterator, Sequence
from math import floor
from typing import NamedTuple

from convert.documents.booklet.choices import Choices
from convert.shopping.fit_to_wrist import Fit
from convert.shopping.length_model import LengthModel
from convert.shopping.resize_design import plain_bead
from convert.shopping.wrists import SURVEY, SURVEY_SIZES
from shared.design import Design
from shared.plural import counted

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


def left_over(one: Fit, growth: LengthModel, choices: Choices) -> LeftOver:
    """Return what a fit leaves over."""
    rows = 2 * floor((one.left_over_mm + _HAIR_MM) / (2 * growth.row_mm))
    short = one.finished_mm + choices.clasp_mm < one.size.wrist_mm - _HAIR_MM
    return LeftOver(one.left_over_mm, rows, short)


def size_notes(design: Design, fits: Sequence[Fit], growth: LengthModel, choices: Choices) -> Iterator[str]:
    """Yield the notes for a table of these fits of a design."""
    yield (
        f"Beadwork is no longer than wrist + {choices.ease_mm:g} mm of ease - {choices.clasp_mm:g} mm for the clasp; "
        "measure your own wrist and clasp."
    )
    yield f"Sizes: {SURVEY}."
    if not design.bead_sizes.is_measured("length"):
        source = "come from the predicted surface and are" if growth.predicted else "follow from bead measures and are"
        yield f"Lengths {source} estimates; stitch a sample and measure it."
    if growth.note:
        yield f"{growth.note[0].upper()}{growth.note[1:]}."
    if 0 < len(fits) < len(SURVEY_SIZES):
        yield "Smaller wrists than those listed are too small for this work."
    left = [left_over(one, growth, choices) for one in fits if one.repeats is not None]
    yield from _left_over_notes(left, growth)
    yield from _plain_rows_notes(design, fits, filled=any(one.rows for one in left))
    yield from _cut_rows_notes(design, fits)


def _left_over_notes(left: Sequence[LeftOver], growth: LengthModel) -> Iterator[str]:
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


def _plain_rows_notes(design: Design, fits: Sequence[Fit], *, filled: bool) -> Iterator[str]:
    """Say how plain rows are put on, where some line of the table asks for them."""
    added = [one for one in fits if one.change.plain > 0]
    if not added and not filled:
        return
    bead = plain_bead(design)
    slopes = " where they meet larger beads, lead down to it one size at a time;" if any(map(_slopes, added)) else ""
    yield (
        f"Plain rows are all of {bead.kind} ({bead.name});{slopes} the first two of them are the strand. Row numbers in "
        f"the chart and the word rows then count from the row after those put on first. {_strand_as_rows(design)}"
    )


def _cut_rows_notes(design: Design, fits: Sequence[Fit]) -> Iterator[str]:
    """Say how to begin where rows are left out, if some line of the table asks for that."""
    if not any(one.change.at_start < 0 for one in fits):
        return
    one = _stitch(design)
    yield (
        f"Where rows are left out first, the next two are strung together. Take the {one}s of the earlier one from the "
        f"end of its line back, those of the later one as they are told, in turn, so that the last {one} on the "
        "thread is the first of the earlier row. Row numbers stay those of the chart."
    )


def _strand_as_rows(design: Design) -> str:
    one = _stitch(design)
    return (
        f"Rows 1 and 2, which are told as one strand, are then stitched one after the other: row 1 takes every second "
        f"{one} of that line, read backwards from its end, and row 2 the others, read forwards."
    )


def _stitch(design: Design) -> str:
    return "bead" if design.grid.drop == 1 else "pair"


def _slopes(one: Fit) -> bool:
    """Tell whether plain rows have more than plain beads in them, as they must beside raised ones."""
    grid, change = one.design.grid, one.change
    plain = (grid.row_of <= change.at_start) | (grid.row_of > grid.rows - change.at_end)
    return bool((one.design.levels[plain] != one.design.levels.min()).any())
