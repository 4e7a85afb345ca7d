"""Cells of a picture, each a chart with words below it, and how they are laid out in rows."""

from math import ceil, log
from typing import NamedTuple

from convert.chart.coverage import Bytes
from convert.chart.lettering import Lettering, wrap
from convert.chart.png import Canvas
from convert.chart.shapes import Box, Mark, Paint, Text, move_all
from convert.documents.colour_review.curve_marks import INK, MEAN, QUIET

TEXT = 22.0
"""Font size of the picture, in pixels."""

GAP = 44.0
"""Between two cells."""

_HEADING, _WORDS = 1.15 * TEXT, 0.9 * TEXT
_MOST_LINES = 14
_PROPORTION = 1.2
_ROOM = GAP / 2 - 4


class Cell(NamedTuple):
    """A chart with words below it."""

    chart: Bytes
    """RGBA, shape (height, width, 4)."""
    words: tuple[Mark, ...]
    """Lettering below the chart."""
    words_height: float
    """Of the lettering."""
    framed: bool
    """Whether it is marked with a frame; its words say so too."""

    @property
    def height(self) -> float:
        """Of chart and words."""
        return len(self.chart) + self.words_height


class Places(NamedTuple):
    """Where cells lie."""

    corners: tuple[tuple[float, float], ...]
    """Upper left corner of each."""
    width: float
    """Of all of them."""
    height: float
    """Of all of them."""


def cell_of(
    chart: Bytes, width: float, heading: str, *, lines: list[str], warnings: list[str], framed: bool = False
) -> Cell:
    """Set the words of a cell below its chart: heading, figures, warnings."""
    marks: list[Mark] = []
    y = 0.3 * TEXT
    for line in wrap(heading, width, _HEADING, bold=True):
        y += 1.3 * _HEADING
        marks.append(Text(0.0, y, line, _HEADING, INK, bold=True))
    for sentence, colour in [*((line, INK) for line in lines), *((line, QUIET) for line in warnings)]:
        for line in wrap(sentence, width, _WORDS, most_lines=_MOST_LINES):
            y += 1.35 * _WORDS
            marks.append(Text(0.0, y, line, _WORDS, colour))
    return Cell(chart, tuple(marks), y + 0.5 * TEXT, framed)


def placed(cells: list[Cell], width: float, columns: int) -> Places:
    """Lay cells out row by row, each row as high as its highest."""
    corners: list[tuple[float, float]] = []
    y = 0.0
    for start in range(0, len(cells), columns):
        row = cells[start : start + columns]
        corners += [(place * (width + GAP), y) for place in range(len(row))]
        y += max(cell.height for cell in row) + GAP
    return Places(tuple(corners), columns * (width + GAP) - GAP, y - GAP)


def best_columns(cells: list[Cell], width: float, head_height: float) -> int:
    """Return in how many columns the picture comes nearest to a sheet a little wider than high, with few gaps."""

    def fault(columns: int) -> float:
        places = placed(cells, width, columns)
        empty = ceil(len(cells) / columns) * columns / len(cells) - 1
        return abs(log(places.width / (places.height + head_height) / _PROPORTION)) + empty

    return min(range(1, len(cells) + 1), key=fault)


def put(canvas: Canvas, cell: Cell, corner: tuple[float, float], width: float, lettering: Lettering) -> None:
    """Paint a cell."""
    x, y = corner
    if cell.framed:
        frame = Box(x - _ROOM, y - _ROOM, width + 2 * _ROOM, cell.height + 2 * _ROOM, 12.0, Paint(None, MEAN, 5.0))
        canvas.draw([frame], lettering)
    height, across = cell.chart.shape[:2]
    left, top = round(x - canvas.left), round(y - canvas.top)
    canvas.pixels[top : top + height, left : left + across] = cell.chart
    canvas.draw(move_all(cell.words, x, y + height), lettering)
