"""The picture on the cover: the predicted surface of work with domes, else the chart."""

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from convert.chart.part import part_scene
from convert.chart.png import png_bytes
from convert.chart.row_numbers import whole
from convert.chart.scene import Scene
from convert.chart.shapes import Extent
from convert.chart.svg import chart_svg
from convert.options import Ink
from convert.progress import Progress, silent
from convert.surface.prediction import predict_if_small
from shared.design import Design

if TYPE_CHECKING:
    from convert.surface.prediction import Prediction

MOST_PIXELS = 300_000
"""Of the picture of a surface; it is cast ray by ray."""

_BULGE = 0.25

ACROSS = 1.6
"""Work that is so many times as long as wide lies across the page."""


class Picture(NamedTuple):
    """A picture with its file name."""

    name: str
    content: bytes
    width: float
    height: float
    """In any unit: they give its proportions."""
    alt: str
    across: bool
    """Whether it is to be turned so that a long work lies across the page."""


class Shape(NamedTuple):
    """What is known of the finished shape."""

    prediction: "Prediction | None"
    width_mm: float
    length_mm: float
    note: str
    """Why there is no prediction, where one was to be expected."""


def shape_of(design: Design, *, progress: Progress = silent) -> Shape:
    """Predict the shape of work with domes; of flat work, and where there is no prediction, take flat geometry."""
    found, why = predict_if_small(design.grid, design.bead_sizes, design.levels, progress=progress)
    if found is None:
        return Shape(None, *design.extent_mm, why)
    return Shape(found, found.found.width_mm, found.found.length_mm, "")


def cover_picture(design: Design, scene: Scene, shape: Shape, ink: Ink) -> Picture:
    """Return the picture for the cover."""
    if shape.prediction is not None and ink == "colour":
        return _surface(design, shape.prediction)
    return _chart(design, scene, ink)


def _surface(design: Design, prediction: "Prediction") -> Picture:
    from convert.surface.render.views import paint_oblique

    pixels = paint_oblique(prediction.surface, design, prediction.found, most_pixels=MOST_PIXELS)
    height, width = pixels.shape[:2]
    domes = len(prediction.found.domes)
    alt = f"The predicted surface of {design.title}, seen at an angle: {domes or 'no'} dome{'' if domes == 1 else 's'}."
    return Picture("cover.png", png_bytes(pixels, dots_per_inch=150), width, height, alt, across=False)


def _chart(design: Design, scene: Scene, ink: Ink) -> Picture:
    part = part_scene(scene, design, whole(design.grid), ink=ink, again=range(0), enlargement=1.0)
    width, height = design.extent_mm
    room_x, room_y = (_BULGE * slot for slot in scene.slot_mm)
    box = Extent(-room_x, -room_y, width + room_x, height + room_y)
    shown = replace(part, between=(), over=(), extent=box)
    alt = f"{design.title}: all of the work, drawn flat."
    across = height > ACROSS * width
    return Picture("cover.svg", chart_svg(shown).encode(), width + 2 * room_x, height + 2 * room_y, alt, across)
