"""Drawings of the strand, the third row and both turns."""

from itertools import pairwise

import numpy as np

from convert.chart.shapes import Mark, Oval, Paint, Point
from convert.documents.booklet.drawings import GROUPS, NEW, OLD, STRAND, Bench, Drawing, finished, numbered
from convert.documents.booklet.thread_lines import THREAD, Pass, drawn_thread, needle
from shared.beads import BeadSize
from shared.grid import Grid


def bench_for(grid: Grid, bead: BeadSize, *, rows: int, odd: bool) -> Bench:
    """Return a small work that is turned as a design is."""
    return Bench(Grid(GROUPS[odd] * grid.drop, rows, grid.hand, grid.start, grid.drop), bead)


def strand(bench: Bench) -> Drawing:
    """Draw the strand, straight, with the tail and the needle."""
    columns = range(1, bench.grid.columns + 1)
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
    steps = [(3 if _in_row(grid, 3, c) else 2, c) for c in range(grid.columns, 0, -1)]
    path = bench.passes(steps, [-1] * len(steps))
    marks = bench.beads((1, 2, 3), lambda row, _: NEW if row == 3 else STRAND)
    alt = "Three rows: the beads of the strand have moved apart, up and down, and the new beads fill the gaps."
    return finished((*marks, *bench.thread(path)), alt)


def plain_turn_steps(grid: Grid) -> list[tuple[int, int]]:
    """Return the beads, as row and column, that the needle passes at the plain turn from row 4 to row 5."""
    last, drop = grid.columns, grid.drop
    edge = list(range(last - drop + 1, last + 1))
    inner = list(range(last - 2 * drop + 1, last - drop + 1))
    before = range(last - 3 * drop + 1, last - 2 * drop + 1)
    steps = [*((3, c) for c in before), *((4, c) for c in inner), *((3, c) for c in edge)]
    return [*steps, *((5, c) for c in reversed(edge)), *((4, c) for c in reversed(inner))]


def plain_turn(bench: Bench) -> Drawing:
    """Draw the end of row 4 on the side away from the tail, and the first stitch of row 5."""
    last, drop = bench.grid.columns, bench.grid.drop
    path = bench.passes(plain_turn_steps(bench.grid), [1] * (3 * drop) + [-1] * (2 * drop))
    marks = bench.beads((1, 2, 3, 4), lambda *_: OLD)
    new = tuple(bench.shape(bench.at(5, c), NEW) for c in range(last - drop + 1, last + 1))
    label, second = (_beyond(bench, stop, number) for stop, number in (((5, last), 1), ((4, last - 2 * drop + 1), 2)))
    alt = "At the edge the needle takes up a new bead, turns back and goes through the next bead that stands out."
    return finished((*marks, *new, *bench.thread(path), *label, *second), alt)


def first_odd_turn(bench: Bench) -> Drawing:
    """Draw the end of row 3 of an odd count: knotted to the tail."""
    drop = bench.grid.drop
    edge = list(range(1, drop + 1))
    inner = list(range(drop + 1, 2 * drop + 1))
    marks = bench.beads((1, 2, 3), lambda row, c: STRAND if row < 3 or c > drop else NEW)
    path = bench.passes([*((2, c) for c in reversed(inner)), *((3, c) for c in reversed(edge))], [-1] * (2 * drop))
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


def odd_turn_steps(drop: int) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """Return the beads, as row and column, that the needle passes at the odd-count turn of row 5.

    First into the work: the last stitch, the edge below, one more on the diagonal. Then, from that one on again, back:
    the one above it, the edge, the last stitch.
    """
    edge, inner = list(range(1, drop + 1)), list(range(drop + 1, 2 * drop + 1))
    new, below, diagonal, above = ([(row, c) for c in cs] for row, cs in ((5, edge), (3, edge), (2, inner), (4, inner)))
    down = [*reversed(above), *reversed(new), *below, *diagonal]
    return down, [*diagonal, *reversed(above), *reversed(below), *new]


def later_odd_turn(bench: Bench, *, back: bool) -> Drawing:
    """Draw the odd-count turn of row 5 in one of its halves: into the work and down, or up and back out."""
    drop = bench.grid.drop
    steps = odd_turn_steps(drop)[back]
    if back:
        directions = [1] * drop + [-1] * (2 * drop) + [1] * drop
        stops = [((4, drop + 1), 4), ((3, drop), 5), ((5, drop), 6)]
    else:
        directions = [-1] * (2 * drop) + [1] * (2 * drop)
        stops = [((5, drop), 1), ((3, drop), 2), ((2, drop + 1), 3)]
    marks = bench.beads(range(1, 6), lambda row, c: NEW if row == 5 and c <= drop else OLD)
    labels = [mark for stop, number in stops for mark in _label(bench, stop, number)]
    alt = (
        "The needle goes up through the neighbouring bead, out through the edge bead below, and through the new bead."
        if back
        else "From the new edge bead the needle goes down through the edge bead below it and one more on the diagonal."
    )
    return finished((*marks, *bench.thread(bench.passes(steps, directions)), *labels), alt)


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
    return bool(grid.holds(np.array(row), np.array(column)))


def _rounded(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """Round a corner of three or more points by one pass of corner cutting (Chaikin's)."""
    for _ in range(3):
        cut = [points[0]]
        for (x0, y0), (x1, y1) in pairwise(points):
            cut += [(0.75 * x0 + 0.25 * x1, 0.75 * y0 + 0.25 * y1), (0.25 * x0 + 0.75 * x1, 0.25 * y0 + 0.75 * y1)]
        points = (*cut, points[-1])
    return points
