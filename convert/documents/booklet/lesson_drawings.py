"""The drawings of the lessons: how the work begins, both turns, and a dome cut through along a column."""

from dataclasses import replace
from itertools import pairwise
from math import sqrt
from typing import NamedTuple

import numpy as np

from convert.chart.shapes import Mark, Oval, Paint, Path, Point, Rectangle
from convert.documents.booklet.small_work import EDGE, OLD, Drawing, Pass, SmallWork, Tones, arrow_head, frame
from shared.beads import BeadSizes
from shared.grid import Grid
from shared.plural import listed

_TABLE = "#c9ced2"
_FLAT = 3
"""Beads of the flat size on each side of the dome."""

_HIDDEN = 0.55
"""How much of a larger bead's extra diameter goes upwards when it is free to rise, a drawing's figure only."""


class NeedleStretch(NamedTuple):
    """A stretch of the needle's path."""

    steps: list[tuple[int, int]]
    """The beads that it passes through, as row and column."""
    directions: list[int]
    """1 where it leads away from the tail, else -1."""


def strung_rows(work: SmallWork) -> Drawing:
    """Draw rows 1 and 2 strung together, straight, with the tail and the needle."""
    columns = work.grid.column_of[work.grid.entries[0].beads].tolist()
    places = [_straight(work, column) for column in columns]
    beads = [work.draw_bead(at, _strung_fill(work, column)) for column, at in zip(columns, places, strict=True)]
    path = [Pass(*at, -work.outward) for at in places]
    numbers = tuple(
        mark
        for column, (x, y) in zip(columns, places, strict=True)
        for mark in work.draw_number((x, y - 1.05 * work.bead.diameter_mm), column)
    )
    alt = f"A straight string of {len(columns)} beads with the tail at one end and the needle at the other."
    return frame((*beads, *work.draw_tail(places[0]), *work.draw_passes(path), *numbers), alt)


def third_row(work: SmallWork) -> Drawing:
    """Draw the first stitch of row 3 on rows 1 and 2, still straight."""
    drop, columns = work.grid.drop, work.grid.columns
    d = work.bead.diameter_mm
    places = [_straight(work, column) for column in range(1, columns + 1)]
    beads = [work.draw_bead(at, _strung_fill(work, column)) for column, at in enumerate(places, start=1)]
    new = [(x, y + work.onward * d) for x, y in reversed(places[-drop:])]
    onto = list(reversed(places[-2 * drop : -drop]))
    through = [Pass(*at, -work.outward) for at in places]
    back = [Pass(x, y, work.outward) for x, y in new]
    back += [Pass(x, y + work.onward * 0.2 * d, work.outward) for x, y in onto]
    fresh = [work.draw_bead(at, work.tones.new) for at in new]
    what = "bead" if drop == 1 else "pair of beads"
    alt = f"The needle turns back with a new {what}, skips the last {what} of the string and goes through the next."
    return frame((*beads, *fresh, *work.draw_tail(places[0]), *work.draw_passes([*through, *back])), alt)


def three_rows(work: SmallWork) -> Drawing:
    """Draw rows 1 to 3 as they lie once the thread is drawn up."""
    grid = work.grid
    third = grid.needle_path.row(_place(grid, 3))
    stretch = _stretch(grid, third.start, third.stop)
    path = work.passes(*stretch)
    marks = work.draw_rows((1, 2, 3), lambda row, c: work.tones.new if row == 3 else _strung_fill(work, c))
    alt = f"Three rows: the strung beads have moved apart, and the new ones fill the gaps. {tell_stretch(stretch)}"
    return frame((*marks, *work.draw_passes(path)), alt)


def plain_turn_stretch(grid: Grid) -> NeedleStretch:
    """Return the needle's path at the plain turn from row 4 to row 5, three stitches before it and two after."""
    turn, drop = int(grid.needle_path.starts[_place(grid, 5)]), grid.drop
    return _stretch(grid, turn - 3 * drop, turn + 2 * drop)


def plain_turn(work: SmallWork) -> Drawing:
    """Draw the end of row 4 on the side away from the tail, and the first stitch of row 5."""
    last, drop = work.grid.columns, work.grid.drop
    stretch = plain_turn_stretch(work.grid)
    path = work.passes(*stretch)
    marks = work.draw_rows((1, 2, 3, 4), lambda *_: OLD)
    new = tuple(work.draw_bead(work.at(5, c), work.tones.new) for c in range(last - drop + 1, last + 1))
    first, second = (_beyond(work, stop, number) for stop, number in (((5, last), 1), ((4, last - 2 * drop + 1), 2)))
    alt = f"The plain turn at the edge. {tell_stretch(stretch)}"
    return frame((*marks, *new, *work.draw_passes(path), *first, *second), alt)


def first_odd_turn(work: SmallWork) -> Drawing:
    """Draw the end of row 3 of an odd count: knotted to the tail."""
    drop = work.grid.drop
    end = work.grid.needle_path.row(_place(work.grid, 3)).stop
    marks = work.draw_rows((1, 2, 3), lambda row, c: work.tones.new if row == 3 and c <= drop else OLD)
    stretch = _stretch(work.grid, end - 2 * drop, end)
    path = work.passes(*stretch)
    d, length, out, on = work.bead.diameter_mm, work.bead.length_mm, work.outward, work.onward
    below, new = work.at(1, 1), work.at(3, 1)
    knot = (below[0] + out * 1.35 * length, (below[1] + new[1]) / 2)
    leaves, enters = (new[0] + out * 0.4 * length, new[1]), (new[0] + out * 0.4 * length, new[1] + on * 0.22 * d)
    home = (new[0] - out * (drop - 0.4) * length, enters[1])
    lines: list[Mark] = [*work.draw_passes(path, pointed=False)]
    for points in (
        (leaves, (knot[0] - out * 0.1 * length, new[1]), knot),
        (knot, (knot[0], enters[1]), enters, home),
        ((below[0] + out * 0.4 * length, below[1]), (knot[0] - out * 0.2 * length, below[1]), knot),
        (knot, (knot[0] + out * 1.6 * length, knot[1] - on * 0.4 * d)),
    ):
        lines += work.draw_thread(_round_corner(points))
    lines.append(Oval(*knot, 0.24 * length, 0.24 * length, Paint(work.tones.thread, "#ffffff", 0.05 * d)))
    lines += work.draw_needle(home, -out)
    labels = [
        *work.draw_number((new[0], new[1] + on * 1.1 * d), 1),
        *work.draw_number((knot[0] + out * 0.2 * length, knot[1] + on * 1.1 * d), 2),
    ]
    alt = f"{tell_stretch(stretch)} There thread and tail are knotted, and the needle goes back in."
    return frame((*marks, *lines, *labels), alt)


def odd_turn_stretches(grid: Grid) -> tuple[NeedleStretch, NeedleStretch]:
    """Return the needle's path at the odd-count turn of row 5, in two stretches.

    First into the work: the last stitch, the edge below, one more on the diagonal. Then, from that one on again, back:
    the one above it, the edge, the last stitch.
    """
    taller = replace(grid, rows=grid.rows + 1)  # the pass through the last stitch is one of the next row
    turn, drop = taller.needle_path.turn(_place(taller, 5)), grid.drop
    return (
        _stretch(taller, turn.start - 2 * drop, turn.start + 2 * drop),
        _stretch(taller, turn.start + drop, turn.stop + drop),
    )


def later_odd_turn(work: SmallWork, *, back: bool) -> Drawing:
    """Draw the odd-count turn of row 5 in one of its halves: into the work and down, or up and back out."""
    drop = work.grid.drop
    if back:
        stops = [((4, drop + 1), 4), ((3, drop), 5), ((5, drop), 6)]
    else:
        stops = [((5, drop), 1), ((3, drop), 2), ((2, drop + 1), 3)]
    marks = work.draw_rows(range(1, 6), lambda row, c: work.tones.new if row == 5 and c <= drop else OLD)
    labels = [mark for stop, number in stops for mark in _in_corner(work, stop, number)]
    stretch = odd_turn_stretches(work.grid)[back]
    alt = f"The odd-count turn, {'back to the edge' if back else 'into the work'}. {tell_stretch(stretch)}"
    return frame((*marks, *work.draw_passes(work.passes(*stretch)), *labels), alt)


def tell_stretch(stretch: NeedleStretch) -> str:
    """Tell which beads the needle goes through, from what is drawn, so that words and drawing always agree."""
    stretches: list[tuple[int, list[str]]] = []
    for (row, column), direction in zip(*stretch, strict=True):
        if not stretches or stretches[-1][0] != direction:
            stretches.append((direction, []))
        stretches[-1][1].append(f"row {row} column {column}")
    told = [
        f"{'away from' if turned > 0 else 'towards'} the tail through {listed(beads)}" for turned, beads in stretches
    ]
    return f"The needle goes {'; it turns, and goes '.join(told)}."


def _beyond(work: SmallWork, stop: tuple[int, int], number: int) -> tuple[Mark, ...]:
    """Put a number next to a bead, on the side to which the work grows."""
    x, y = work.at(*stop)
    return work.draw_number((x, y + work.onward * 1.05 * work.bead.diameter_mm), number)


def _in_corner(work: SmallWork, stop: tuple[int, int], number: int) -> tuple[Mark, ...]:
    """Put a number on the lower corner of a bead, next to the thread."""
    x, y = work.at(*stop)
    return work.draw_number((x, y - work.onward * 0.24 * work.bead.diameter_mm), number, 0.44)


def _straight(work: SmallWork, column: int) -> Point:
    return work.at(2, column)


def _strung_fill(work: SmallWork, column: int) -> str:
    return work.tones.strung if _in_row(work.grid, 2, column) else OLD


def _in_row(grid: Grid, row: int, column: int) -> bool:
    return int(grid.bead_at(np.array(row), np.array(column))) >= 0


def _place(grid: Grid, row: int) -> int:
    """Return the place of a row among the entries."""
    return next(place for place, entry in enumerate(grid.entries) if row in entry.rows)


def _stretch(grid: Grid, first: int, end: int) -> NeedleStretch:
    path = grid.needle_path
    beads, from_tail = path.beads[first:end], path.from_tail[first:end]
    steps = list(zip(grid.row_of[beads].tolist(), grid.column_of[beads].tolist(), strict=True))
    return NeedleStretch(steps, np.where(from_tail, 1, -1).tolist())


def _round_corner(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Round the corners of a line by three passes of corner cutting (Chaikin's)."""
    for _ in range(3):
        cut = [points[0]]
        for (x0, y0), (x1, y1) in pairwise(points):
            cut += [(0.75 * x0 + 0.25 * x1, 0.75 * y0 + 0.25 * y1), (0.25 * x0 + 0.75 * x1, 0.25 * y0 + 0.75 * y1)]
        points = (*cut, points[-1])
    return points


def free_dome(bead_sizes: BeadSizes, tones: Tones) -> Drawing:
    """Draw larger beads that stand up, with a fingertip's push from beneath."""
    sizes = _profile(bead_sizes)
    places = _lay_touching(bead_sizes, sizes, _heights(bead_sizes, sizes))
    middle = places[len(places) // 2]
    d = bead_sizes.flat.diameter_mm
    foot = (middle[0], 2.2 * d)
    tip = (middle[0], middle[1] + bead_sizes.sizes[max(sizes)].diameter_mm / 2 + 0.5 * d)
    push = Path((foot, tip), closed=False, paint=Paint(None, EDGE, 0.16 * d))
    alt = "A dome cut through: each larger bead stands higher than the one before it, and nothing is squeezed."
    return frame((*_section(bead_sizes, sizes, places, tones), push, arrow_head(tip, (0, -1), 0.7 * d, EDGE)), alt)


def pressed_dome(bead_sizes: BeadSizes, tones: Tones) -> Drawing:
    """Draw the same beads pressed on to the table, crossed out."""
    sizes = _profile(bead_sizes)
    d = bead_sizes.flat.diameter_mm
    heights = [(bead_sizes.sizes[level].diameter_mm - d) / 2 for level in sizes]
    places = _lay_touching(bead_sizes, sizes, heights)
    left, right = places[0][0] - 1.5 * d, places[-1][0] + 1.5 * d
    table = Rectangle(left, d / 2, right - left, 0.5 * d, 0.0, Paint(_TABLE))
    x0, x1, y0, y1 = places[0][0], places[-1][0], d / 2 - 1.1 * bead_sizes.sizes[max(sizes)].diameter_mm, d
    lines = tuple(
        Path(ends, closed=False, paint=Paint(None, tones.thread, 0.22 * d))
        for ends in (((x0, y0), (x1, y1)), ((x0, y1), (x1, y0)))
    )
    alt = "The same beads pressed flat on a table, crossed out: there they take too much room, and the edge ripples."
    return frame((table, *_section(bead_sizes, sizes, places, tones), *lines), alt)


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


def _lay_touching(bead_sizes: BeadSizes, sizes: list[int], heights: list[float]) -> list[Point]:
    """Lay beads in a row so that each touches the next; y runs down."""
    places = [(0.0, -heights[0])]
    for (a, b), (low, high) in zip(pairwise(sizes), pairwise(heights), strict=True):
        apart = (bead_sizes.sizes[a].diameter_mm + bead_sizes.sizes[b].diameter_mm) / 2
        # However steep, a bead lies a little farther on: else it would stand on the one before.
        across = sqrt(max(apart**2 - (high - low) ** 2, (0.25 * apart) ** 2))
        places.append((places[-1][0] + across, -high))
    return places


def _section(bead_sizes: BeadSizes, sizes: list[int], places: list[Point], tones: Tones) -> tuple[Mark, ...]:
    """Draw beads as one sees them along their holes."""
    marks: list[Mark] = []
    line = 0.05 * bead_sizes.flat.diameter_mm
    for level, (x, y) in zip(sizes, places, strict=True):
        size = bead_sizes.sizes[level]
        radius, hole = size.diameter_mm / 2 - line / 2, size.hole_mm / 2
        marks.append(Oval(x, y, radius, radius, Paint(tones.new if level else OLD, EDGE, line)))
        marks.append(Oval(x, y, hole, hole, Paint("#ffffff", EDGE, line)))
    return tuple(marks)
