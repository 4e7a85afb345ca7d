"""A part of a chart, for a sheet of paper that does not hold all of it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import BeadDrawing
from convert.chart.choices import Ink
from convert.chart.figures import draw_figures
from convert.chart.inks import INKS, LIGHT, mix
from convert.chart.row_numbers import (
    PLAIN_NUMBER,
    Margins,
    Part,
    draw_bracket,
    draw_column_numbers,
    draw_row_numbers,
    draw_tail,
    margins_of,
    trace_front,
)
from convert.chart.scene import Group, Scene, front_groups
from convert.chart.shapes import Extent, Mark, Paint, Text, extent_of, union
from convert.rows.find_repeat import Repeat
from shared.design import Design

Flags = NDArray[np.bool_]

FADED = 0.62
"""How much white is stirred into beads that another sheet shows as well."""

SIDE, ABOVE, BELOW = 3.0, 1.6, 0.6
"""Room for numbers next to a part, above it, and below, in diameters of a slot."""

TAIL_SIDE, ABOVE_TAIL = 5.6, 3.0
"""The same on the side where the tail hangs, and at the end where it does."""

BRACKET = 0.3
"""Room more on the side away from the tail, where a repeat is marked."""

SHORT_LABEL = "rows 1 + 2"
"""Of the arrow, where there is no room to say more."""

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
    return union([box, *(extent_of(mark) for mark in _draw_part_tail(margins, part))])


def _draw_part_tail(margins: Margins, part: Part) -> tuple[Mark, ...]:
    """Draw the tail, where a part has it; a label too long for the room next to a narrow part says less."""
    if part.rows[0] != 1 or part.columns[0] != 1:
        return ()
    marks = draw_tail(margins)
    edge = margins.column_edge(part.columns[-1])
    ends = (extent_of(marks[-1]).right, extent_of(marks[-1]).left)[margins.inward < 0]
    fits = margins.inward * (ends - edge) <= SIDE * margins.diameter_mm
    return marks if fits else draw_tail(margins, SHORT_LABEL)


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
    again
        Rows of the part that the sheet before shows as well: they are drawn pale, with a line where the new ones begin.
    enlargement
        How many times its size the work is printed.
    number
        Font size of plain row numbers, in diameters of a slot.
    columns_again
        Columns that the strip before shows as well, drawn as pale.
    """
    margins = margins_of(design, INKS[ink])
    inside, pale = _choose_beads(scene, margins, part, again, columns_again)
    kinds = _draw_as_strokes(scene.kinds)
    if pale.any():
        kinds += tuple(_fade(kind) for kind in kinds)
    bracket = () if repeat is None else draw_bracket(margins, repeat, part)
    groups = (*_numbers_and_tail(margins, part, again, number), Group("repeat", bracket))
    between, on_domes = front_groups(margins, part, raised=bool((scene.level_of[inside] > 0).any()))
    return replace(
        scene,
        extent=part_extent(design, part, repeat),
        enlargement=enlargement,
        under=(),
        kinds=kinds,
        kind_of=scene.kind_of[inside] + len(scene.kinds) * pale[inside],
        centres_mm=scene.centres_mm[inside],
        between=between,
        over=(on_domes, *groups),
    )


def draw_printed_bead(kind: BeadDrawing) -> tuple[tuple[Mark, ...], Extent]:
    """Return the drawing of one bead, as sheets show it, and its extent."""
    marks = draw_figures(kind.marks)
    return marks, union(extent_of(mark) for mark in marks)


def _choose_beads(
    scene: Scene, margins: Margins, part: Part, again: range, columns_again: range
) -> tuple[Flags, Flags]:
    """Return of each bead of a chart whether a part shows it, and whether pale."""
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


def _numbers_and_tail(margins: Margins, part: Part, again: range, number: float) -> tuple[Group, ...]:
    joins = trace_front(margins, again[-1], margins.inks.accent, _JOIN_LINE, part) if again else ()
    return (
        Group("join", joins),
        Group("tail", draw_figures(_draw_part_tail(margins, part))),
        Group("row-numbers", draw_figures(draw_row_numbers(margins, part, size=number))),
        Group("column-numbers", draw_figures(draw_column_numbers(margins, part, size=number))),
    )


def _draw_as_strokes(kinds: tuple[BeadDrawing, ...]) -> tuple[BeadDrawing, ...]:
    return tuple(replace(kind, marks=draw_figures(kind.marks)) for kind in kinds)


def _fade(kind: BeadDrawing) -> BeadDrawing:
    return replace(kind, kind=kind.kind + _FADED_MARK, marks=tuple(map(_fade_mark, kind.marks)))


def _fade_mark(mark: Mark) -> Mark:
    if isinstance(mark, Text):
        return replace(mark, colour=mix(mark.colour, LIGHT, FADED))
    fill, stroke = (None if c is None else mix(c, LIGHT, FADED) for c in (mark.paint.fill, mark.paint.stroke))
    return replace(mark, paint=Paint(fill, stroke, mark.paint.width_mm))
