"""A part of a chart, for a sheet of paper that does not hold all of it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from convert.draw.bead_shapes import Kind
from convert.draw.inks import INKS, LIGHT, mixed
from convert.draw.margins import (
    PLAIN_NUMBER,
    Margins,
    Part,
    column_numbers,
    margins_of,
    row_fronts,
    row_numbers,
    strand_front,
    strand_tail,
    tenth_fronts,
    traced,
)
from convert.draw.numerals import drawn
from convert.draw.scene import Group, Scene
from convert.draw.shapes import Extent, Mark, Paint, Text, extent_of, union
from convert.options import Ink
from shared.design import Design

Flags = NDArray[np.bool_]

FADED = 0.62
"""How much white is stirred into beads that another sheet shows as well."""

SIDE, ABOVE, BELOW = 3.0, 1.6, 0.6
"""Room for numbers beside a part, above it, and below, in diameters of a slot."""

TAIL_SIDE, ABOVE_TAIL = 5.6, 3.0
"""The same on the side where the tail hangs, and at the end where it does."""

_JOIN_LINE = 0.14
_FADED_MARK = ".faded"


def part_extent(design: Design, part: Part) -> Extent:
    """Return the paper that a part takes with its numbers, in mm of the finished work."""
    margins = margins_of(design, INKS["colour"])
    d = margins.diameter_mm
    edges = sorted((margins.column_edge(part.columns[0] - 1), margins.column_edge(part.columns[-1])))
    ys = sorted((margins.row_y(part.rows[0]), margins.row_y(part.rows[-1])))
    with_tail = part.rows[0] == 1
    at_top = design.grid.start == "top"
    above = ABOVE_TAIL if with_tail and at_top else ABOVE
    below = ABOVE_TAIL / 2 if with_tail and not at_top else BELOW
    sides = [SIDE * d, SIDE * d]
    if with_tail and part.columns[0] == 1:
        sides[0 if margins.inward > 0 else 1] = TAIL_SIDE * d
    return Extent(edges[0] - sides[0], ys[0] - d / 2 - above * d, edges[1] + sides[1], ys[1] + d / 2 + below * d)


def part_scene(
    scene: Scene,
    design: Design,
    part: Part,
    *,
    ink: Ink,
    again: range,
    enlargement: float,
    number: float = PLAIN_NUMBER,
) -> Scene:
    """Lay out a part of a chart.

    Parameters
    ----------
    scene
        The whole chart.
    design
        What it shows.
    part
        Rows and columns to show.
    ink
        As the chart's.
    again
        Rows of the part that the sheet before shows as well: they are drawn pale, with a line where the new ones begin.
    enlargement
        How many times its size the work is printed.
    number
        Font size of plain row numbers, in diameters of a slot.
    """
    margins = margins_of(design, INKS[ink])
    inside, pale = _chosen(scene, margins, part, again)
    kinds = _printed(scene.kinds)
    if pale.any():
        kinds += tuple(_faded(kind) for kind in kinds)
    groups = _groups(margins, part, again, number)
    raised = bool((scene.rung_of[inside] > 0).any())
    fronts = tenth_fronts(margins, part)
    on_domes = row_fronts(margins, fronts if raised else (), margins.inks.front_on_domes)
    return replace(
        scene,
        extent=part_extent(design, part),
        enlargement=enlargement,
        under=(),
        kinds=kinds,
        kind_of=scene.kind_of[inside] + len(scene.kinds) * pale[inside],
        centres_mm=scene.centres_mm[inside],
        between=(
            Group("row-fronts", row_fronts(margins, fronts, margins.inks.front_line)),
            Group("strand", strand_front(margins, part)),
        ),
        over=(Group("row-fronts-on-domes", on_domes), *groups),
    )


def printed_bead(kind: Kind) -> tuple[tuple[Mark, ...], Extent]:
    """Return the drawing of one bead, as sheets show it, and its extent."""
    marks = drawn(kind.marks)
    return marks, union(extent_of(mark) for mark in marks)


def _chosen(scene: Scene, margins: Margins, part: Part, again: range) -> tuple[Flags, Flags]:
    """Tell of each bead of a chart whether a part shows it, and whether pale."""
    x, y = scene.centres_mm.T
    rows = _between(y, [margins.row_y(row) for row in part.rows], margins.diameter_mm / 8)
    columns = _between(x, [margins.column_x(column) for column in part.columns], margins.length_mm / 4)
    inside = rows & columns
    pale = _between(y, [margins.row_y(row) for row in again], margins.diameter_mm / 8) if again else inside & False
    return inside, inside & pale


def _between(values: NDArray[np.float64], places: list[float], room: float) -> Flags:
    return np.asarray((values > min(places) - room) & (values < max(places) + room))


def _groups(margins: Margins, part: Part, again: range, number: float) -> tuple[Group, ...]:
    tail = strand_tail(margins) if part.rows[0] == 1 and part.columns[0] == 1 else ()
    joins = traced(margins, again[-1], margins.inks.accent, _JOIN_LINE, part) if again else ()
    return (
        Group("join", joins),
        Group("tail", drawn(tail)),
        Group("row-numbers", drawn(row_numbers(margins, part, size=number))),
        Group("column-numbers", drawn(column_numbers(margins, part))),
    )


def _printed(kinds: tuple[Kind, ...]) -> tuple[Kind, ...]:
    return tuple(replace(kind, marks=drawn(kind.marks)) for kind in kinds)


def _faded(kind: Kind) -> Kind:
    return replace(kind, key=kind.key + _FADED_MARK, marks=tuple(map(_pale, kind.marks)))


def _pale(mark: Mark) -> Mark:
    if isinstance(mark, Text):
        return replace(mark, colour=mixed(mark.colour, LIGHT, FADED))
    fill, stroke = (None if c is None else mixed(c, LIGHT, FADED) for c in (mark.paint.fill, mark.paint.stroke))
    return replace(mark, paint=Paint(fill, stroke, mark.paint.width_mm))
