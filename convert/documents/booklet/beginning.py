"""Drawings of the strand, the third row and both turns."""

from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from convert.chart.shapes import Mark, Oval, Paint, Point
from convert.documents.booklet.drawings import GROUPS, NEW, OLD, STRAND, Bench, Drawing, finished, numbered
from convert.documents.booklet.thread_lines import THREAD, Pass, drawn_thread, needle
from shared.beads import BeadSize
from shared.grid import Grid


class Way(NamedTuple):
    """A stretch of the needle's path."""

    steps: list[tuple[int, int]]
    """The beads that it passes through, as row and column."""
    directions: list[int]
    """1 where it leads away from the tail, else -1."""


def bench_for(grid: Grid, bead: BeadSize, *, rows: int, odd: bool) -> Bench:
    """Return a small work that is turned as a design is."""
    return Bench(Grid(GROUPS[odd] * grid.drop, rows, grid.hand, grid.start, grid.drop), bead)


def strand(bench: Bench) -> Drawing:
    """Draw the strand, straight, with the tail and the needle."""
    columns = bench.grid.column_of[bench.grid.entries[0].beads].tolist()
    places = [_straight(bench, column) for column in columns]
    marks = tuple(bench.shape(at, _strand_fill(bench, column)) for column, at in zip(columns, places, strict=True))
    path = [Pass(*at, -bench.outward) for at in places]
    numbers = tuple(
        mark
        for column, (x, y) in zip(columns, places, strict=True)
        for mark in numbered((x, y - 1.05 * bench.bead.diameter_mm), column, 0.7 * bench.bead.length_mm)
    )
    alt = f"A straight strand of {len(columns)} beads with the tail at one end and the needle at the other."
    return finished((*marks, *bench.tail(places[0]), *bench.thread(path), *numbers), alt)


def third_row(bench: Bench) -> Drawing:
    """Draw the first stitch of row 3 on the strand, still straight."""
    drop, columns = bench.grid.drop, bench.grid.columns
    d = bench.bead.diameter_mm
    places = [_straight(bench, column) for column in range(1, columns + 1)]
    beads = [bench.shape(at, _strand_fill(bench, column)) for column, at in enumerate(places, start=1)]
    new = [(x, y + bench.onward * d) for x, y in reversed(places[-drop:])]
    onto = list(reversed(places[-2 * drop : -drop]))
    through = [Pass(*at, -bench.outward) for at in places]
    back = [Pass(x, y, bench.outward) for x, y in new] + [
        Pass(x, y + bench.onward * 0.2 * d, bench.outward) for x, y in onto
    ]
    fresh = [bench.shape(at, NEW) for at in new]
    marks = (*beads, *fresh, *bench.tail(places[0]), *bench.thread([*through, *back]))
    what = "bead" if drop == 1 else "pair of beads"
    alt = f"The needle turns back with a new {what}, skips the last {what} of the strand and goes through the next."
    return finished(marks, alt)


def three_rows(bench: Bench) -> Drawing:
    """Draw rows 1 to 3 as they lie once the thread is drawn up."""
    grid = bench.grid
    third = grid.needle_path.row(_place(grid, 3))
    path = bench.passes(*_way(grid, third.start, third.stop))
    marks = bench.beads((1, 2, 3), lambda row, _: NEW if row == 3 else STRAND)
    alt = "Three rows: the beads of the strand have moved apart, up and down, and the new beads fill the gaps."
    return finished((*marks, *bench.thread(path)), alt)


def plain_turn_way(grid: Grid) -> Way:
    """Return the way of the needle at the plain turn from row 4 to row 5, three stitches before it and two after."""
    turn, drop = int(grid.needle_path.starts[_place(grid, 5)]), grid.drop
    return _way(grid, turn - 3 * drop, turn + 2 * drop)


def plain_turn(bench: Bench) -> Drawing:
    """Draw the end of row 4 on the side away from the tail, and the first stitch of row 5."""
    last, drop = bench.grid.columns, bench.grid.drop
    path = bench.passes(*plain_turn_way(bench.grid))
    marks = bench.beads((1, 2, 3, 4), lambda *_: OLD)
    new = tuple(bench.shape(bench.at(5, c), NEW) for c in range(last - drop + 1, last + 1))
    label, second = (_beyond(bench, stop, number) for stop, number in (((5, last), 1), ((4, last - 2 * drop + 1), 2)))
    alt = "At the edge the needle takes up a new bead, turns back and goes through the next bead that stands out."
    return finished((*marks, *new, *bench.thread(path), *label, *second), alt)


def first_odd_turn(bench: Bench) -> Drawing:
    """Draw the end of row 3 of an odd count: knotted to the tail."""
    drop = bench.grid.drop
    end = bench.grid.needle_path.row(_place(bench.grid, 3)).stop
    marks = bench.beads((1, 2, 3), lambda row, c: STRAND if row < 3 or c > drop else NEW)
    path = bench.passes(*_way(bench.grid, end - 2 * drop, end))
    d, length = bench.bead.diameter_mm, bench.bead.length_mm
    below, new = bench.at(1, 1), bench.at(3, 1)
    knot = (below[0] + bench.outward * 1.35 * length, (below[1] + new[1]) / 2)
    out = (new[0] + bench.outward * 0.4 * length, new[1])
    back = (new[0] + bench.outward * 0.4 * length, new[1] + bench.onward * 0.22 * d)
    loop = (out, (knot[0] - bench.outward * 0.1 * length, new[1]), knot)
    home = (knot, (knot[0], back[1]), back, (new[0] - bench.outward * (drop - 0.4) * length, back[1]))
    tail = (
        (below[0] + bench.outward * 0.4 * length, below[1]),
        (knot[0] - bench.outward * 0.2 * length, below[1]),
        knot,
    )
    free = (knot, (knot[0] + bench.outward * 1.6 * length, knot[1] - bench.onward * 0.4 * d))
    tied = Oval(*knot, 0.24 * length, 0.24 * length, Paint(THREAD, "#ffffff", 0.05 * d))
    lines: list[Mark] = [*bench.thread(path, pointed=False)]
    for points in (loop, home, tail, free):
        lines += drawn_thread(_rounded(points), 0.1 * d)
    lines += [tied, *needle(home[-1], -bench.outward, 0.5 * length)]
    labels = [
        *numbered((new[0], new[1] + bench.onward * 1.1 * d), 1, 0.7 * length),
        *numbered((knot[0] + bench.outward * 0.2 * length, knot[1] + bench.onward * 1.1 * d), 2, 0.7 * length),
    ]
    alt = "The last bead of row 3 sits at the edge; thread and tail are knotted beside it, and the needle goes back in."
    return finished((*marks, *lines, *labels), alt)


def odd_turn_ways(grid: Grid) -> tuple[Way, Way]:
    """Return the way of the needle at the odd-count turn of row 5.

    First into the work: the last stitch, the edge below, one more on the diagonal. Then, from that one on again, back:
    the one above it, the edge, the last stitch.
    """
    taller = replace(grid, rows=grid.rows + 1)  # the pass through the last stitch is one of the next row
    turn, drop = taller.needle_path.turn(_place(taller, 5)), grid.drop
    return (
        _way(taller, turn.start - 2 * drop, turn.start + 2 * drop),
        _way(taller, turn.start + drop, turn.stop + drop),
    )


def later_odd_turn(bench: Bench, *, back: bool) -> Drawing:
    """Draw the odd-count turn of row 5 in one of its halves: into the work and down, or up and back out."""
    drop = bench.grid.drop
    if back:
        stops = [((4, drop + 1), 4), ((3, drop), 5), ((5, drop), 6)]
    else:
        stops = [((5, drop), 1), ((3, drop), 2), ((2, drop + 1), 3)]
    marks = bench.beads(range(1, 6), lambda row, c: NEW if row == 5 and c <= drop else OLD)
    labels = [mark for stop, number in stops for mark in _label(bench, stop, number)]
    alt = (
        "The needle goes up through the neighbouring bead, out through the edge bead below, and through the new bead."
        if back
        else "From the new edge bead the needle goes down through the edge bead below it and one more on the diagonal."
    )
    return finished((*marks, *bench.thread(bench.passes(*odd_turn_ways(bench.grid)[back])), *labels), alt)


def _beyond(bench: Bench, stop: tuple[int, int], number: int) -> tuple[Mark, ...]:
    """Put a number next to a bead, on the side to which the work grows."""
    x, y = bench.at(*stop)
    return numbered((x, y + bench.onward * 1.05 * bench.bead.diameter_mm), number, 0.7 * bench.bead.length_mm)


def _label(bench: Bench, stop: tuple[int, int], number: int) -> tuple[Mark, ...]:
    """Put a number on the lower corner of a bead, beside the thread."""
    x, y = bench.at(*stop)
    d, length = bench.bead.diameter_mm, bench.bead.length_mm
    return numbered((x, y - bench.onward * 0.24 * d), number, 0.44 * length)


def _straight(bench: Bench, column: int) -> Point:
    return bench.at(2, column)


def _strand_fill(bench: Bench, column: int) -> str:
    return STRAND if _in_row(bench.grid, 2, column) else OLD


def _in_row(grid: Grid, row: int, column: int) -> bool:
    return int(grid.bead_at(np.array(row), np.array(column))) >= 0


def _place(grid: Grid, row: int) -> int:
    """Return the place of a row among the entries."""
    return next(place for place, entry in enumerate(grid.entries) if row in entry.rows)


def _way(grid: Grid, first: int, end: int) -> Way:
    path = grid.needle_path
    beads, from_tail = path.beads[first:end], path.from_tail[first:end]
    steps = list(zip(grid.row_of[beads].tolist(), grid.column_of[beads].tolist(), strict=True))
    return Way(steps, np.where(from_tail, 1, -1).tolist())


def _rounded(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Round a corner of three or more points by one pass of corner cutting (Chaikin's)."""
    for _ in range(3):
        cut = [points[0]]
        for (x0, y0), (x1, y1) in pairwise(points):
            cut += [(0.75 * x0 + 0.25 * x1, 0.75 * y0 + 0.25 * y1), (0.25 * x0 + 0.75 * x1, 0.25 * y0 + 0.75 * y1)]
        points = (*cut, points[-1])
    return points
