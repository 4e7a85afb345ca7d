"""How a pattern shows on the contact sheet of its batch."""

from typing import NamedTuple

from convert.chart.png import png_bytes
from convert.chart.small_chart import paint_chart, plan_chart
from shared.design import Design

PAPER = "#e6e8e8"


class Face(NamedTuple):
    """A pattern as one sees it among others."""

    title: str
    """Of the design."""
    chart: bytes
    """A small picture, PNG."""


def face_of(design: Design) -> Face:
    """Paint a design small."""
    pixels = paint_chart(plan_chart(design), design.cells, [bead.srgb for bead in design.beads], PAPER)
    return Face(design.title, png_bytes(pixels, dots_per_inch=96))
