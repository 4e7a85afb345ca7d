"""Figures drawn as strokes, so that the text of a document is searched and copied without the numbers of a chart."""

from collections.abc import Iterable
from math import cos, pi, sin

from convert.chart.shapes import Mark, Paint, Path, Point, Text

DIGIT_HEIGHT = 0.7
"""Height of figures and capitals in parts of the font size."""

Stroke = tuple[Point, ...]

WIDTH, ADVANCE = 0.40, 0.55
"""Of one figure and from one to the next, in font sizes; its height is `DIGIT_HEIGHT`."""

_LINE, _BOLD_LINE = 0.075, 0.115


def draw_figures(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """Return shapes with every text of figures alone drawn as strokes; other text stays."""
    return tuple(one for mark in marks for one in (_strokes(mark) if _is_number(mark) else (mark,)))


def _is_number(mark: Mark) -> bool:
    return isinstance(mark, Text) and mark.text.isascii() and mark.text.isdigit()


def _strokes(mark: Mark) -> tuple[Mark, ...]:
    if not isinstance(mark, Text):
        return (mark,)
    size = mark.size_mm
    width = ((len(mark.text) - 1) * ADVANCE + WIDTH) * size
    left = mark.x - {"start": 0.0, "middle": width / 2, "end": width}[mark.anchor]
    paint = Paint(None, mark.colour, (_BOLD_LINE if mark.bold else _LINE) * size)
    return tuple(
        Path(_place(stroke, left + place * ADVANCE * size, mark.y, size), closed=False, paint=paint)
        for place, figure in enumerate(mark.text)
        for stroke in _FIGURES[figure]
    )


def _place(stroke: Stroke, left: float, baseline: float, size: float) -> Stroke:
    return tuple((left + x * WIDTH * size, baseline - (1 - y) * DIGIT_HEIGHT * size) for x, y in stroke)


def _arc(middle: Point, radii: Point, start: float, end: float) -> Stroke:
    """Points from one angle to another, in parts of a full turn, clockwise from the right."""
    steps = max(4, round(abs(end - start) * 20))
    angles = [2 * pi * (start + (end - start) * step / steps) for step in range(steps + 1)]
    return tuple((middle[0] + radii[0] * cos(angle), middle[1] + radii[1] * sin(angle)) for angle in angles)


_SIX: tuple[Stroke, ...] = (((0.8, 0.03), (0.5, 0.1), (0.22, 0.32), *_arc((0.5, 0.68), (0.48, 0.32), 0.53, -0.47)),)

_FIGURES: dict[str, tuple[Stroke, ...]] = {
    "0": (_arc((0.5, 0.5), (0.46, 0.5), 0.0, 1.05),),
    "1": (((0.18, 0.2), (0.6, 0.0), (0.6, 1.0)),),
    "2": ((*_arc((0.48, 0.28), (0.44, 0.28), 0.54, 1.08), (0.04, 1.0), (1.0, 1.0)),),
    "3": ((*_arc((0.44, 0.25), (0.42, 0.25), 0.58, 1.2), *_arc((0.44, 0.72), (0.5, 0.28), 0.78, 1.42)),),
    "4": (((0.74, 1.0), (0.74, 0.0), (0.0, 0.68), (1.0, 0.68)),),
    "5": (((0.9, 0.0), (0.18, 0.0), (0.12, 0.44), *_arc((0.45, 0.67), (0.5, 0.33), 0.64, 1.4)),),
    "6": _SIX,
    "7": (((0.0, 0.0), (1.0, 0.0), (0.36, 1.0)),),
    "8": (_arc((0.5, 0.25), (0.4, 0.25), 0.25, 1.3), _arc((0.5, 0.74), (0.48, 0.26), 0.25, 1.3)),
    "9": tuple(tuple((1 - x, 1 - y) for x, y in stroke) for stroke in _SIX),
}
