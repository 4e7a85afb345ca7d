"""A part of a chart, for a sheet of paper that does not hold all of it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import Kind
from convert.chart.inks import INKS, LIGHT, mixed
from convert.chart.numerals import drawn
from convert.chart.repeat_mark import repeat_bracket
from convert.chart.row_numbers import (
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
from convert.chart.scene import Group, Scene
from convert.chart.shapes import Extent, Mark, Paint, Text, extent_of, union
from convert.options import Ink
from convert.rows.find_repeat import Repeat
from shared.design import Design

Flags = NDArray[np.bool_]

FADED = 0.62
"""How much white is stirred into beads that another sheet shows as well."""

SIDE, ABOVE, BELOW = 3.0, 1.6, 0.6
"""Room for numbers beside a part, above it, and below, in diameters of a slot."""

TAIL_SIDE, ABOVE_TAIL = 5.6, 3.0
"""The same on the side where the tail hangs, and at the end where it does."""

BRACKET = 0.3
"""Room more on the side away from the tail, where a repeat is marked."""

SHORT_LABEL = "rows 1 + 2"
"""Of the strand, where there is no room to say more."""

_JOIN_LINE = 0.14
_FADED_MARK = ".faded"


def part_extent(design: Design, part: Part, repeat: Repeat | None = None) -> Extent:
    """Return the paper that a part takes with its numbers and the mark of a repeat, in mm of the finished work."""
    margins = margins_of(design, INKS["colour"])
    d = margins.diameter_mm
    edges = sorted((margins.column_edge(part.columns[0] - 1), margins.column_edge(part.columns[-1])))
    ys = sorted((margins.row_y(part.rows[0]), margins.row_y(part.rows[-1])))
    with_tail = part.rows[0] == 1
    at_top = design.grid.start == "top"
    above = ABOVE_TAIL if with_tail and at_top else ABOVE
    below = ABOVE_TAIL / 2 if with_tail and not at_top else BELOW
    sides = [SIDE * d, SIDE * d]
    if repeat is not None and part.columns[-1] == design.grid.columns:
        sides[1 if margins.inward > 0 else 0] += BRACKET * d
    if with_tail and part.columns[0] == 1:
        sides[0 if margins.inward > 0 else 1] = TAIL_SIDE * d
    box = Extent(edges[0] - sides[0], ys[0] - d / 2 - above * d, edges[1] + sides[1], ys[1] + d / 2 + below * d)
    return union([box, *(extent_of(mark) for mark in _tail(margins, part))])


def _tail(margins: Margins, part: Part) -> tuple[Mark, ...]:
    """Draw the tail, where a part has it; a label too long for the room beside a narrow part says less."""
    if part.rows[0] != 1 or part.columns[0] != 1:
        return ()
    marks = strand_tail(margins)
    edge = margins.column_edge(part.columns[-1])
    ends = (extent_of(marks[-1]).right, extent_of(marks[-1]).left)[margins.inward < 0]
    fits = margins.inward * (ends - edge) <= SIDE * margins.diameter_mm
    return marks if fits else strand_tail(margins, SHORT_LABEL)


def part_scene(
    scene: Scene,
    design: Design,
    part: Part,
    *,
    ink: Ink,
    again: range,
    enlargement: float,
    number: float = PLAIN_NUMBER,
    columns_again: range = range(0),
    repeat: Repeat | None = None,
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
    columns_again
        Columns that the strip before shows as well, drawn as pale.
    repeat
        What a bracket marks, if anything.
    """
    margins = margins_of(design, INKS[ink])
    inside, pale = _chosen(scene, margins, part, again, columns_again)
    kinds = _printed(scene.kinds)
    if pale.any():
        kinds += tuple(_faded(kind) for kind in kinds)
    mark = () if repeat is None else repeat_bracket(margins, repeat, part)
    groups = (*_groups(margins, part, again, number), Group("repeat", mark))
    raised = bool((scene.level_of[inside] > 0).any())
    fronts = tenth_fronts(margins, part)
    on_domes = row_fronts(margins, fronts if raised else (), margins.inks.front_on_domes)
    return replace(
        scene,
        extent=part_extent(design, part, repeat),
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


def _chosen(scene: Scene, margins: Margins, part: Part, again: range, columns_again: range) -> tuple[Flags, Flags]:
    """Tell of each bead of a chart whether a part shows it, and whether pale."""
    x, y = scene.centres_mm.T

    def in_rows(rows: range) -> Flags:
        return _between(y, [margins.row_y(row) for row in rows], margins.diameter_mm / 8)

    def in_columns(columns: range) -> Flags:
        return _between(x, [margins.column_x(column) for column in columns], margins.length_mm / 4)

    inside = in_rows(part.rows) & in_columns(part.columns)
    pale = in_rows(again) | in_columns(columns_again)
    return inside, inside & pale


def _between(values: NDArray[np.float64], places: list[float], room: float) -> Flags:
    if not places:
        return np.zeros(values.shape, dtype=np.bool_)
    return np.asarray((values > min(places) - room) & (values < max(places) + room))


def _groups(margins: Margins, part: Part, again: range, number: float) -> tuple[Group, ...]:
    joins = traced(margins, again[-1], margins.inks.accent, _JOIN_LINE, part) if again else ()
    return (
        Group("join", joins),
        Group("tail", drawn(_tail(margins, part))),
        Group("row-numbers", drawn(row_numbers(margins, part, size=number))),
        Group("column-numbers", drawn(column_numbers(margins, part, size=number))),
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
