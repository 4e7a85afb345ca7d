"""The cover: its picture, the measures of the work, and for whom it is."""

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from convert.chart.choices import Ink
from convert.chart.page import TIMES, in_inches
from convert.chart.part import part_scene
from convert.chart.png import png_bytes
from convert.chart.row_numbers import whole
from convert.chart.scene import Scene
from convert.chart.shapes import Extent
from convert.chart.svg import chart_svg
from convert.progress import Progress, silent
from convert.rows.row import rows_of_work
from convert.surface.prediction import predict_if_small
from shared.design import Design
from shared.plural import counted

if TYPE_CHECKING:
    from convert.surface.prediction import Prediction

MOST_PIXELS = 300_000
"""Of the picture of a surface; it is cast ray by ray."""

ACROSS = 1.6
"""Work that is at least this many times as long as wide lies across the page."""

_BULGE = 0.25
"""Part of a slot that is left free around the chart, for larger beads bulge over theirs."""

SEVERAL_CHANGES, MANY_CHANGES = 2.0, 5.0
"""Changes of bead per row, on average, from which they count one point and two."""

LEVELS = ((1, "a first piece"), (3, "some experience"), (5, "an experienced hand"))
"""Up to how many points, whom a design suits."""

LEVEL_RULE = (
    "How this is worked out: no point for one bead size, one for two sizes, two for more; none for fewer than 2 "
    "changes of bead per row on average, one from 2, two from 5; one for the odd-count turn. Up to 1 point suits a "
    "first piece, up to 3 some experience, more an experienced hand."
)

Facts = tuple[tuple[str, str], ...]
"""Names, each with what it is in words."""


class CoverPicture(NamedTuple):
    """A picture with its file name."""

    name: str
    content: bytes
    width: float
    height: float
    """In any unit: they give its proportions."""
    alt: str
    across: bool
    """Whether it is to be turned so that a long work lies across the page."""


class FinishedShape(NamedTuple):
    """What is known of the finished shape."""

    prediction: "Prediction | None"
    width_mm: float
    length_mm: float
    note: str
    """Why there is no prediction, where one was to be expected."""


class Difficulty(NamedTuple):
    """How hard a design is."""

    points: int
    """0 to 5."""
    suits: str
    reasons: str


def predict_finished(design: Design, *, progress: Progress = silent) -> FinishedShape:
    """Predict the shape of work with domes; of flat work, and where there is no prediction, take flat geometry."""
    found, why = predict_if_small(design.grid, design.bead_sizes, design.levels, progress=progress)
    if found is None:
        return FinishedShape(None, *design.extent_mm, why)
    return FinishedShape(found, found.found.width_mm, found.found.length_mm, "")


def cover_picture(design: Design, scene: Scene, shape: FinishedShape, ink: Ink) -> CoverPicture:
    """Return the predicted surface of work with domes, else the chart."""
    if shape.prediction is not None and ink == "colour":
        return _surface(design, shape.prediction)
    return _chart(design, scene, ink)


def _surface(design: Design, prediction: "Prediction") -> CoverPicture:
    from convert.surface.render.views import paint_oblique

    pixels = paint_oblique(prediction.surface, design, prediction.found, most_pixels=MOST_PIXELS)
    height, width = pixels.shape[:2]
    domes = len(prediction.found.domes)
    alt = f"The predicted surface of {design.title}, seen at an angle: {domes or 'no'} dome{'' if domes == 1 else 's'}."
    return CoverPicture("cover.png", png_bytes(pixels, dots_per_inch=150), width, height, alt, across=False)


def _chart(design: Design, scene: Scene, ink: Ink) -> CoverPicture:
    part = part_scene(scene, design, whole(design.grid), ink=ink, again=range(0), enlargement=1.0)
    width, height = design.extent_mm
    room_x, room_y = (_BULGE * slot for slot in scene.slot_mm)
    box = Extent(-room_x, -room_y, width + room_x, height + room_y)
    shown = replace(part, between=(), over=(), extent=box)
    alt = f"{design.title}: all of the work, drawn flat."
    across = height > ACROSS * width
    return CoverPicture("cover.svg", chart_svg(shown).encode(), width + 2 * room_x, height + 2 * room_y, alt, across)


def cover_facts(design: Design, shape: FinishedShape) -> Facts:
    """Return what the cover says, name by value."""
    grid = design.grid
    width, length = shape.width_mm, shape.length_mm
    measured = "" if design.bead_sizes.is_measured("length", "width") else ", an estimate"
    flat = " of flat work" if design.levels.any() and shape.prediction is None else ""
    level = rate_difficulty(design)
    return (
        (
            "Finished size",
            f"{width:.1f} {TIMES} {length:.1f} mm ({in_inches(width, length)}){flat}{measured}, without clasp",
        ),
        ("Stitch", f"{grid.full_name}, {'right' if grid.hand == 'right' else 'left'}-handed"),
        ("Beads", f"{grid.count:,} in {counted(grid.columns, 'column')} and {counted(grid.rows, 'row')}"),
        ("Level", f"{level.points} of 5 points, for {level.suits} ({level.reasons})"),
    )


def rate_difficulty(design: Design) -> Difficulty:
    """Work out how hard a design is, from its bead sizes, changes of bead per row, and turns; see `LEVEL_RULE`.

    This is a rule of our own, not one of the trade.
    """
    sizes = np.unique(design.levels).size
    changes = changes_per_row(design)
    points = min(sizes - 1, 2) + (changes >= SEVERAL_CHANGES) + (changes >= MANY_CHANGES) + design.grid.odd_count
    suits = next(words for most, words in LEVELS if points <= most)
    turn = "the odd-count turn" if design.grid.odd_count else "plain turns only"
    many = counted(sizes, "bead size")
    return Difficulty(int(points), suits, f"{many}, {changes:.1f} changes of bead per row, {turn}")


def changes_per_row(design: Design) -> float:
    """Return how often the next bead of a row is another than the last, on average over the entries of word rows."""
    rows = rows_of_work(design)
    return sum(max(len(row.runs) - 1, 0) for row in rows) / len(rows)
