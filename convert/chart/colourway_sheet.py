"""Several colourways of one design side by side."""

from collections.abc import Sequence

from convert.chart.lettering import Lettering
from convert.chart.png import Canvas, png_bytes
from convert.chart.shapes import Extent
from convert.documents.colour_review.painted import painted_chart, plan_chart
from convert.documents.colour_review.sheet import GAP, best_columns, cell_of, placed, put
from shared.design import Design

PAPER = "#ffffff"
LEAST_WIDTH = 260.0


def colourway_sheet(designs: Sequence[tuple[str, Design]]) -> bytes:
    """Paint designs that differ in colours only, each under its name with its colours, as a PNG file."""
    plan = plan_chart(designs[0][1])
    width = max(LEAST_WIDTH, float(plan.width))
    cells = []
    for name, design in designs:
        colours = [bead.srgb for bead in design.beads]
        chart = painted_chart(plan, design.cells, colours, PAPER)
        words = ", ".join(dict.fromkeys(bead.name for bead in design.beads))
        cells.append(cell_of(chart, width, name, lines=[words], warnings=[]))
    places = placed(cells, width, best_columns(cells, width, 0.0))
    canvas = Canvas.of(Extent(-GAP, -GAP, places.width + GAP, places.height + GAP), PAPER, 1.0)
    lettering = Lettering()
    for cell, corner in zip(cells, places.corners, strict=True):
        put(canvas, cell, corner, width, lettering)
    return png_bytes(canvas.pixels, dots_per_inch=150)
