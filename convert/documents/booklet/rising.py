"""Drawings of a dome cut through along a column: how larger beads sit, and how they must not be pressed."""

from itertools import pairwise
from math import sqrt

from convert.chart.shapes import Box, Mark, Oval, Paint, Path, Point
from convert.documents.booklet.drawings import EDGE, NEW, OLD, Drawing, finished
from convert.documents.booklet.thread_lines import THREAD, needle
from shared.beads import BeadSizes

_TABLE = "#c9ced2"
_FLAT = 3
"""Beads of the flat size on each side of the dome."""

_HIDDEN = 0.55
"""How much of a larger bead's extra diameter goes upwards when it is free to rise, a drawing's figure only."""


def free_dome(bead_sizes: BeadSizes) -> Drawing:
    """Draw larger beads that stand up, with a fingertip's push from beneath."""
    sizes = _profile(bead_sizes)
    heights = _heights(bead_sizes, sizes)
    places = _chained(bead_sizes, sizes, heights)
    middle = places[len(places) // 2]
    d = bead_sizes.flat.diameter_mm
    foot = (middle[0], 2.2 * d)
    tip = (middle[0], middle[1] + bead_sizes.sizes[max(sizes)].diameter_mm / 2 + 0.5 * d)
    arrow = (Path((foot, tip), closed=False, paint=Paint(None, EDGE, 0.16 * d)), *_upward(tip, 0.7 * d))
    alt = "A dome cut through: each larger bead stands higher than the one before it, and nothing is squeezed."
    return finished((*_beads(bead_sizes, sizes, places), *arrow), alt)


def pressed_dome(bead_sizes: BeadSizes) -> Drawing:
    """Draw the same beads pressed on to the table, crossed out."""
    sizes = _profile(bead_sizes)
    d = bead_sizes.flat.diameter_mm
    heights = [(bead_sizes.sizes[level].diameter_mm - d) / 2 for level in sizes]
    places = _chained(bead_sizes, sizes, heights)
    left, right = places[0][0] - 1.5 * d, places[-1][0] + 1.5 * d
    table = Box(left, d / 2, right - left, 0.5 * d, 0.0, Paint(_TABLE))
    tall = bead_sizes.sizes[max(sizes)].diameter_mm
    x0, x1, y0, y1 = places[0][0], places[-1][0], d / 2 - 1.1 * tall, d
    cross = Paint(None, THREAD, 0.22 * d)
    lines = (
        Path(((x0, y0), (x1, y1)), closed=False, paint=cross),
        Path(((x0, y1), (x1, y0)), closed=False, paint=cross),
    )
    alt = "The same beads pressed flat on a table, crossed out: there they take too much room, and the edge ripples."
    return finished((table, *_beads(bead_sizes, sizes, places), *lines), alt)


def _profile(bead_sizes: BeadSizes) -> list[int]:
    """Return the level of each bead along a column: up the bead sizes, and down again."""
    most = min(len(bead_sizes.sizes) - 1, 3)
    climb = list(range(1, most + 1))
    return [0] * _FLAT + climb + [most] + climb[::-1] + [0] * _FLAT


def _heights(bead_sizes: BeadSizes, sizes: list[int]) -> list[float]:
    """Return how high each bead's centre stands over that of flat beads."""
    d = bead_sizes.flat.diameter_mm
    raised = [level for level in sizes if level]
    steps = [
        _HIDDEN * (bead_sizes.sizes[a].diameter_mm + bead_sizes.sizes[b].diameter_mm) / 2
        for a, b in pairwise([0, *raised])
    ]
    half = len(raised) // 2 + 1
    climb = [sum(steps[: place + 1]) for place in range(half)]
    arch = climb + climb[: len(raised) - half][::-1]
    edge = (bead_sizes.sizes[min(1, len(bead_sizes.sizes) - 1)].diameter_mm - d) / 2
    return [0.0] * _FLAT + [max(edge, height - 0.35 * d) for height in arch] + [0.0] * _FLAT


def _chained(bead_sizes: BeadSizes, sizes: list[int], heights: list[float]) -> list[Point]:
    """Lay beads side by side so that each touches the next; y runs down."""
    places = [(0.0, -heights[0])]
    for (a, b), (low, high) in zip(pairwise(sizes), pairwise(heights), strict=True):
        apart = (bead_sizes.sizes[a].diameter_mm + bead_sizes.sizes[b].diameter_mm) / 2
        across = sqrt(max(apart**2 - (high - low) ** 2, (0.25 * apart) ** 2))
        places.append((places[-1][0] + across, -high))
    return places


def _beads(bead_sizes: BeadSizes, sizes: list[int], places: list[Point]) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    for level, (x, y) in zip(sizes, places, strict=True):
        size = bead_sizes.sizes[level]
        line = 0.05 * bead_sizes.flat.diameter_mm
        radius, hole = size.diameter_mm / 2 - line / 2, size.hole_mm / 2
        marks.append(Oval(x, y, radius, radius, Paint(NEW if level else OLD, EDGE, line)))
        marks.append(Oval(x, y, hole, hole, Paint("#ffffff", EDGE, line)))
    return tuple(marks)


def _upward(tip: Point, size: float) -> tuple[Mark, ...]:
    """Draw the head of an arrow that points up."""
    x, y = tip
    turned = needle((0.0, 0.0), 1, size, EDGE)
    return tuple(
        Path(tuple((x + b, y - a) for a, b in mark.points), closed=True, paint=mark.paint)
        for mark in turned
        if isinstance(mark, Path)
    )
