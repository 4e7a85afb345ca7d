"""The curve of colour error as shapes, for the picture of the review."""

from itertools import pairwise

from convert.chart.shapes import Box, Mark, Oval, Paint, Path, Text, move
from convert.documents.colour_review.curve import Curve

INK, QUIET, RULE = "#1c2529", "#4a565c", "#c9d0d3"
MEAN, P95 = "#0b5f68", "#9a3412"

_DASH, _GAP = 10.0, 7.0


def curve_marks(curve: Curve, *, width: float, height: float, text: float) -> tuple[Mark, ...]:
    """Draw the curve in the box it was laid out for, with axes outside it and the suggested number marked.

    Parameters
    ----------
    curve
        The curve.
    width, height
        Of its box.
    text
        Font size.
    """
    return (
        *_axes(curve, width, height, text),
        *_knee(curve, height, text),
        *_dashed(curve.p95, Paint(None, P95, 3.0)),
        Path(curve.mean, closed=False, paint=Paint(None, MEAN, 4.0)),
        *(_square(x, y) for x, y in curve.p95),
        *(_disc(x, y) for x, y in curve.mean),
        *_legend(text),
    )


def _axes(curve: Curve, width: float, height: float, text: float) -> list[Mark]:
    marks: list[Mark] = [Box(0.0, tick.at - 0.5, width, 1.0, 0.0, Paint(RULE)) for tick in curve.up]
    marks += [Text(-0.6 * text, tick.at + 0.35 * text, tick.text, text, INK, "end") for tick in curve.up]
    knee_x = curve.mean[curve.knee][0]
    for tick in curve.across:
        marks.append(Text(tick.at, height + 1.4 * text, tick.text, text, INK, "middle", bold=tick.at == knee_x))
    marks.append(Text(width, height + 2.7 * text, "colours", text, QUIET, "end"))
    return marks


def _knee(curve: Curve, height: float, text: float) -> list[Mark]:
    x = curve.mean[curve.knee][0]
    dots: list[Mark] = [Box(x - 1.5, y, 3.0, 5.0, 0.0, Paint(INK)) for y in range(0, int(height), 11)]
    return [*dots, Text(x, height + 2.7 * text, "suggested", text, INK, "middle", bold=True)]


def _legend(text: float) -> list[Mark]:
    y = -1.4 * text
    half = 1.3 * text
    marks: list[Mark] = []
    for left, words in ((0.0, "mean error"), (11 * text, "95 % of the beads stay under")):
        line = ((left, y), (left + 2 * half, y))
        if left == 0.0:
            marks += [Path(line, closed=False, paint=Paint(None, MEAN, 4.0)), _disc(left + half, y)]
        else:
            marks += [*_dashed(line, Paint(None, P95, 3.0)), _square(left + half, y)]
        marks.append(Text(left + 2.5 * half, y + 0.35 * text, words, text, INK))
    return marks


def _disc(x: float, y: float) -> Mark:
    return Oval(x, y, 7.0, 7.0, Paint(MEAN))


def _square(x: float, y: float) -> Mark:
    return move(Box(-6.0, -6.0, 12.0, 12.0, 0.0, Paint("#ffffff", P95, 3.0)), x, y)


def _dashed(points: tuple[tuple[float, float], ...], paint: Paint) -> list[Mark]:
    """Cut a line into dashes, each piece between two points on its own."""
    marks: list[Mark] = []
    for (x0, y0), (x1, y1) in pairwise(points):
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        at = 0.0
        while at < length:
            a, b = at / length, min(1.0, (at + _DASH) / length)
            ends = ((x0 + a * (x1 - x0), y0 + a * (y1 - y0)), (x0 + b * (x1 - x0), y0 + b * (y1 - y0)))
            marks.append(Path(ends, closed=False, paint=paint))
            at += _DASH + _GAP
    return marks
