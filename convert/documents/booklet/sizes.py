"""The table of sizes: how long the work is for a range of wrists, of how many rows, and how it is made so long."""

from collections.abc import Iterator, Sequence
from math import floor
from typing import NamedTuple

from convert.chart.page import INCH_MM
from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.cover import FinishedShape
from convert.documents.booklet.materials import WordTable
from convert.progress import Progress, silent
from convert.rows.find_repeat import find_repeat
from convert.shopping.choices import WristChoices
from convert.shopping.fit_to_wrist import Fit, fit_to_wrists
from convert.shopping.length_model import LengthModel, model_length
from convert.shopping.resize_design import plain_bead
from convert.shopping.wrists import SURVEY, SURVEY_SIZES, beadwork_mm
from shared.design import Design
from shared.plural import counted

_HARD_BLANK = "\N{NO-BREAK SPACE}"

_HAIR_MM = 1e-6
"""Lengths that differ by less are taken as equal: they come from sums in another order."""


class LeftOver(NamedTuple):
    """What whole repeats leave of the length that the beadwork may have."""

    mm: float
    rows: int
    """The plain rows that fill it, an even number."""
    needed: bool
    """Whether the bracelet does not close without them: beadwork and clasp are shorter than the wrist."""

    def __str__(self) -> str:
        rows = f", {self.rows} rows" if self.rows else ""
        return f"{self.mm:.0f} mm{rows}{', needed' if self.needed else ''}"


def size_table(
    design: Design, shape: FinishedShape, choices: BookletChoices, *, progress: Progress = silent
) -> WordTable:
    """Return for a range of wrists how long the work is to be, and of how many rows or repeats.

    A design with domes that does not repeat is not cut, for a dome would be: it has no line for smaller wrists.
    """
    repeat = find_repeat(design, from_row_1=True)
    progress("working out sizes")
    growth = model_length(design, repeat, known=shape.prediction, progress=progress).steady()
    wanted = WristChoices(ease_mm=choices.ease_mm, clasp_mm=choices.clasp_mm, spare_percent=choices.spare_percent)
    whole = bool(design.levels.any()) and repeat is None
    least_mm = growth.length_mm if whole else 0.0
    sizes = [s for s in SURVEY_SIZES if beadwork_mm(s.wrist_mm, choices.ease_mm, choices.clasp_mm) >= least_mm]
    fits, _ = fit_to_wrists(design, repeat, growth, sizes, wanted)
    heads: tuple[str, ...] = ("For", "Wrist", "Beadwork", "Repeats" if repeat else "Rows at the ends", "Rows", "Beads")
    rows = tuple(map(_size_row, fits))
    left = [_left_over(one, growth, choices) for one in fits] if repeat else []
    if repeat is not None:
        heads = (*heads, "Left over")
        rows = tuple((*row, str(one)) for row, one in zip(rows, left, strict=True))
    return WordTable(heads, rows, tuple(_size_notes(design, fits, growth, choices, left)))


def _size_row(one: Fit) -> tuple[str, ...]:
    made = str(one.repeats) if one.repeats is not None else _ends(one.change.at_start, one.change.at_end)
    wrist, length = _length(one.size.wrist_mm), _length(one.finished_mm)
    return one.size.name, wrist, length, made, str(one.design.grid.rows), f"{one.design.grid.count:,}"


def _length(mm: float) -> str:
    """Write a length in both units, broken between them at most."""
    return f"{mm:.0f}{_HARD_BLANK}mm, {mm / INCH_MM:.1f}{_HARD_BLANK}in"


def _ends(start: int, end: int) -> str:
    if not start and not end:
        return "as it is"
    verb = "add" if start + end > 0 else "leave out"
    return f"{verb} {abs(start)} first, {abs(end)} last"


def _left_over(one: Fit, growth: LengthModel, choices: BookletChoices) -> LeftOver:
    """Return what a fit leaves over."""
    rows = 2 * floor((one.left_over_mm + _HAIR_MM) / (2 * growth.row_mm))
    short = one.finished_mm + choices.clasp_mm < one.size.wrist_mm - _HAIR_MM
    return LeftOver(one.left_over_mm, rows, short)


def _size_notes(
    design: Design, fits: Sequence[Fit], growth: LengthModel, choices: BookletChoices, left: Sequence[LeftOver]
) -> Iterator[str]:
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
        f"Plain rows are all of {bead.kind} ({bead.name});{slopes} the first two of them are strung "
        "together. Row numbers in the chart and the word rows then count from the row after those put on first. "
        f"{_strung_as_rows(design)}"
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


def _strung_as_rows(design: Design) -> str:
    one = _stitch(design)
    return (
        f"Rows 1 and 2, which stand in one line of the word rows, are then stitched one after the other: row 1 takes "
        f"every second {one} of that line, read backwards from its end, and row 2 the others, read forwards."
    )


def _stitch(design: Design) -> str:
    return "bead" if design.grid.drop == 1 else "pair"


def _slopes(one: Fit) -> bool:
    """Return whether plain rows have more than plain beads in them, as they must next to raised ones."""
    grid, change = one.design.grid, one.change
    plain = (grid.row_of <= change.at_start) | (grid.row_of > grid.rows - change.at_end)
    return bool((one.design.levels[plain] != one.design.levels.min()).any())
