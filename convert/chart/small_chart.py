"""Small charts, of beads alone, and several colourways of one design next to each other."""

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, log, sqrt
from typing import NamedTuple

from convert.chart.bead_shapes import BeadDrawing, draw_beads
from convert.chart.png import Canvas, paint_scene, png_bytes
from convert.chart.scene import beads_scene
from convert.chart.shapes import Extent, Mark, Rectangle, Text, move_all
from shared.arrays import Bytes
from shared.design import Design
from shared.typeface import Lettering, wrap

MOST_PIXELS, MOST_WIDE, MOST_HIGH = 130_000, 480, 640
"""Of one chart."""

LEAST_BEAD = 4
"""Pixels that a column is wide, though a long work grows higher by it, as long as `MOST_PIXELS` allows."""

LEAST_OUTLINED = 6.0
"""Pixels that the shorter side of a bead has at least for outlines to be drawn: finer ones would grey the colours."""

PAPER = "#ffffff"
INK = "#1c2529"
LEAST_WIDTH = 260.0

_TEXT, _GAP = 22.0, 44.0
"""Font size and the room between two cards, in pixels."""

_HEADING, _WORDS = 1.15 * _TEXT, 0.9 * _TEXT
_MOST_LINES = 14
_PROPORTION = 1.2


class ColourwayCard(NamedTuple):
    """A chart with words below it."""

    chart: Bytes
    """RGBA, shape (height, width, 4)."""
    words: tuple[Mark, ...]
    height: float


class CardPlaces(NamedTuple):
    """Where cards lie."""

    corners: tuple[tuple[float, float], ...]
    """Upper left corner of each."""
    width: float
    height: float


def small_chart(design: Design, *, paper: str = PAPER) -> Bytes:
    """Paint the beads of a design small, with half a slot free all around for what bulges.

    Returns
    -------
    ndarray of uint8
        RGBA, shape (height, width, 4).
    """
    flat, (width_mm, length_mm) = design.bead_sizes.flat, design.extent_mm
    fitting = max(min(MOST_WIDE / width_mm, MOST_HIGH / length_mm), LEAST_BEAD / flat.length_mm)
    scale = min(fitting, sqrt(MOST_PIXELS / (width_mm * length_mm)))
    # Two pixels at least: a bead is stamped as a tile with a pixel more on each side, which must not leave the chart.
    x, y = max(flat.length_mm / 2, 2 / scale), max(flat.diameter_mm / 2, 2 / scale)
    outlined = scale * min(flat.length_mm, flat.diameter_mm) >= LEAST_OUTLINED
    kinds = tuple(_simplify(kind, outlined=outlined) for kind in draw_beads(design, "colour"))
    return paint_scene(beads_scene(design, kinds, Extent(-x, -y, width_mm + x, length_mm + y), paper), scale)


def _simplify(kind: BeadDrawing, *, outlined: bool) -> BeadDrawing:
    """Leave the body of a bead, for its number could not be read; without outlines it fills its slot."""
    body = kind.marks[0]
    if isinstance(body, Rectangle) and not outlined:
        body = replace(body, radius=0.0, paint=replace(body.paint, stroke=body.paint.fill))
    return replace(kind, marks=(body,))


def colourway_sheet(designs: Sequence[tuple[str, Design]]) -> bytes:
    """Paint designs that differ in colours only, each under its name with its colours, as a PNG file."""
    charts = [small_chart(design) for _, design in designs]
    width = max(LEAST_WIDTH, float(charts[0].shape[1]))
    cards = [
        _card(chart, width, name, ", ".join(dict.fromkeys(bead.name for bead in design.beads)))
        for chart, (name, design) in zip(charts, designs, strict=True)
    ]
    places = _place_cards(cards, width, _best_columns(cards, width))
    canvas = Canvas.of(Extent(-_GAP, -_GAP, places.width + _GAP, places.height + _GAP), PAPER, 1.0)
    lettering = Lettering()
    for card, (x, y) in zip(cards, places.corners, strict=True):
        height, across = card.chart.shape[:2]
        left, top = round(x - canvas.left), round(y - canvas.top)
        canvas.pixels[top : top + height, left : left + across] = card.chart
        canvas.draw(move_all(card.words, x, y + height), lettering)
    return png_bytes(canvas.pixels, dots_per_inch=150)


def _card(chart: Bytes, width: float, heading: str, colours: str) -> ColourwayCard:
    """Set heading and colours below a chart."""
    marks: list[Mark] = []
    y = 0.3 * _TEXT
    for line in wrap(heading, width, _HEADING, bold=True):
        y += 1.3 * _HEADING
        marks.append(Text(0.0, y, line, _HEADING, INK, bold=True))
    for line in wrap(colours, width, _WORDS, most_lines=_MOST_LINES):
        y += 1.35 * _WORDS
        marks.append(Text(0.0, y, line, _WORDS, INK))
    return ColourwayCard(chart, tuple(marks), len(chart) + y + 0.5 * _TEXT)


def _place_cards(cards: list[ColourwayCard], width: float, columns: int) -> CardPlaces:
    """Lay cards out row by row, each row as high as its highest."""
    corners: list[tuple[float, float]] = []
    y = 0.0
    for start in range(0, len(cards), columns):
        row = cards[start : start + columns]
        corners += [(place * (width + _GAP), y) for place in range(len(row))]
        y += max(card.height for card in row) + _GAP
    return CardPlaces(tuple(corners), columns * (width + _GAP) - _GAP, y - _GAP)


def _best_columns(cards: list[ColourwayCard], width: float) -> int:
    """Return in how many columns the picture comes nearest to a sheet a little wider than high, with few gaps."""

    def fault(columns: int) -> float:
        places = _place_cards(cards, width, columns)
        empty = ceil(len(cards) / columns) * columns / len(cards) - 1
        return abs(log(places.width / places.height / _PROPORTION)) + empty

    return min(range(1, len(cards) + 1), key=fault)
