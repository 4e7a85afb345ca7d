"""The review as one picture: the curve, then the chart at every number of colours with its figures."""

from typing import NamedTuple

from convert.chart.coverage import Bytes
from convert.chart.lettering import Lettering, wrap
from convert.chart.png import Canvas, png_bytes
from convert.chart.shapes import Extent, Mark, Text, move_all
from convert.documents.colour_review.bead_colours import colour_of_beads
from convert.documents.colour_review.curve import curve_of
from convert.documents.colour_review.curve_marks import INK, QUIET, curve_marks
from convert.documents.colour_review.painted import ChartPlan, painted_chart, plan_chart
from convert.documents.colour_review.review import Review, Reviewed
from convert.documents.colour_review.sheet import GAP, TEXT, Cell, best_columns, cell_of, placed, put
from convert.documents.colour_review.vision import DEFICIENT, FULL, Vision
from convert.documents.colour_review.words import UNKNOWN, figure_words, pair_sentences, suggestion, work_line

PAPER = "#ffffff"
DOTS_PER_INCH = 150.0

_MARGIN = 48.0
_LEAST_CELL = 340.0
_CURVE_WIDTH = 860.0
_CURVE_HEIGHTS = (320.0, 560.0)
_AXIS = 2.5 * TEXT


class _Head(NamedTuple):
    """Title, curve, and the suggested chart as others see it."""

    marks: tuple[Mark, ...]
    corners: tuple[tuple[float, float], ...]
    """Of the charts."""
    width: float
    height: float


def review_picture(review: Review) -> bytes:
    """Paint the review as a PNG file."""
    plan = plan_chart(review.suggested.design)
    wide = max(_LEAST_CELL, float(plan.width))
    cells = [_choice_cell(choice, plan, wide, suggested=choice is review.suggested) for choice in review.choices]
    others = [_vision_cell(review.suggested, plan, wide, vision) for vision in DEFICIENT]
    head = _head(review, others, wide)
    places = placed(cells, wide, best_columns(cells, wide, head.height))
    extent = Extent(
        -_MARGIN,
        -_MARGIN,
        max(places.width, head.width) + _MARGIN,
        head.height + places.height + _MARGIN,
    )
    canvas, lettering = Canvas.of(extent, PAPER, 1.0), Lettering()
    canvas.draw(head.marks, lettering)
    below = [(x, y + head.height) for x, y in places.corners]
    for cell, corner in [*zip(others, head.corners, strict=True), *zip(cells, below, strict=True)]:
        put(canvas, cell, corner, wide, lettering)
    return png_bytes(canvas.pixels, dots_per_inch=DOTS_PER_INCH)


def _head(review: Review, others: list[Cell], wide: float) -> _Head:
    left = _AXIS + _CURVE_WIDTH + 2 * GAP
    width = left + len(others) * (wide + GAP) - GAP
    title, y = _title(review, width)
    top = y + GAP
    high = max(cell.height for cell in others)
    curve_height = min(max(_CURVE_HEIGHTS[0], high - 7 * TEXT), _CURVE_HEIGHTS[1])
    spreads = [choice.figures.spread for choice in review.choices]
    curve = curve_of(spreads, review.knee.k, width=_CURVE_WIDTH, height=curve_height)
    drawn = curve_marks(curve, width=_CURVE_WIDTH, height=curve_height, text=TEXT)
    corners = tuple((left + place * (wide + GAP), top) for place in range(len(others)))
    height = top + max(high, curve_height + 6 * TEXT) + 1.5 * GAP
    return _Head((*title, *move_all(drawn, _AXIS, top + 2.5 * TEXT)), corners, width, height)


def _title(review: Review, width: float) -> tuple[list[Mark], float]:
    """Set title, kind of work and suggestion; return the marks and how far down they reach."""
    design = review.suggested.design
    marks: list[Mark] = []
    y = 0.0
    for words, size, colour, bold in (
        (f"How many colours? {design.title}", 2 * TEXT, INK, True),
        (work_line(design), TEXT, QUIET, False),
        (suggestion(review), 1.25 * TEXT, INK, True),
    ):
        for line in wrap(words, width, size, bold=bold):
            y += 1.4 * size
            marks.append(Text(0.0, y, line, size, colour, bold=bold))
    return marks, y


def _choice_cell(choice: Reviewed, plan: ChartPlan, wide: float, *, suggested: bool) -> Cell:
    figures = figure_words(choice.figures)
    lines = [
        f"mean colour error {figures['mean']}",
        f"95 % of beads under {figures['p95']}",
        f"beads to buy {figures['to_buy']}",
        f"grams with spare {figures['grams']}",
        f"rarest colour {figures['rarest_colour']}",
        f"rarest bead {figures['rarest_bead']}",
    ]
    if figures["packs"] != UNKNOWN:
        lines.append(f"packs {figures['packs']}, cost {figures['cost']}")
    warnings = [sentence for _, sentence in pair_sentences(choice)]
    heading = choice.name + (", suggested" if suggested else "")
    chart = _chart(choice, FULL, plan)
    return cell_of(chart, wide, heading, lines=lines, warnings=warnings, framed=suggested)


def _vision_cell(choice: Reviewed, plan: ChartPlan, wide: float, vision: Vision) -> Cell:
    heading = f"{choice.name}, {vision.label}"
    warnings = [sentence for kind, sentence in pair_sentences(choice) if kind == vision]
    return cell_of(_chart(choice, vision, plan), wide, heading, lines=[], warnings=warnings)


def _chart(choice: Reviewed, vision: Vision, plan: ChartPlan) -> Bytes:
    colours = [colour.seen[vision.word] for colour in choice.colours]
    return painted_chart(plan, colour_of_beads(choice.design, choice.colours), colours, PAPER)
