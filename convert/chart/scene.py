"""The chart of a design, laid out once as values in millimetres of the finished work.

The upper left corner of the work is (0, 0), so a bead's centre is what `shared.grid.Grid.centres_mm` says;
margins lie at negative places or past the work. Painters (SVG, PNG) draw this and decide nothing.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import BeadDrawing, draw_beads
from convert.chart.choices import DEFAULT_INK, Ink
from convert.chart.inks import INKS
from convert.chart.page import arrange_page
from convert.chart.row_numbers import (
    Margins,
    Part,
    draw_column_numbers,
    draw_first_front,
    draw_fronts,
    draw_row_numbers,
    draw_tail,
    margins_of,
    mark_repeat,
    tenth_fronts,
    whole,
)
from convert.chart.shapes import Extent, Mark, Paint, Rectangle, extent_of, union
from convert.rows.find_repeat import find_repeat
from shared.design import Design

_T = TypeVar("_T", bound=np.generic)

ENLARGEMENT = 3.0
"""How many times the work's size the chart is printed."""


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that belong together, with a name for those who read the file."""

    name: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, eq=False)
class Scene:
    """A chart as values; lengths in mm of the finished work.

    Parameters
    ----------
    paper
        Colour of the page as ``#rrggbb``.
    enlargement
        How many times its size the work is printed.
    slot_mm
        Length and diameter of a flat bead: the finest thing to be told apart.
    kinds
        How the beads of each kind are drawn, in the order of the design's list.
    kind_of
        The kind of each bead in the order of painting: level by level, then from the top, then from the
        left, shape (beads,).
    centres_mm
        Centre of each of them as x, y, shape (beads, 2).
    between
        What lies on the flat beads, beneath the raised ones.
    """

    title: str
    description: str
    extent: Extent
    paper: str
    enlargement: float
    slot_mm: tuple[float, float]
    under: tuple[Group, ...]
    kinds: tuple[BeadDrawing, ...]
    kind_of: NDArray[np.int64]
    centres_mm: NDArray[np.float64]
    between: tuple[Group, ...]
    over: tuple[Group, ...]

    @cached_property
    def level_of(self) -> NDArray[np.int64]:
        """The level of each bead in the order of painting, shape (beads,)."""
        return _frozen(np.array([kind.level for kind in self.kinds], dtype=np.int64)[self.kind_of])


def chart_scene(design: Design, *, ink: Ink = DEFAULT_INK) -> Scene:
    """Lay out the chart of a design.

    Parameters
    ----------
    ink
        ``"colour"``, or ``"black"``: white beads with a symbol for each kind.

    Raises
    ------
    BadChoiceError
        In black ink, when there are more kinds than symbols for them.
    """
    inks = INKS[ink]
    kinds = draw_beads(design, ink)
    margins = margins_of(design, inks)
    between, on_domes = front_groups(margins, whole(design.grid), raised=bool(design.levels.any()))
    work = (on_domes, *_work_groups(design, margins))
    page = arrange_page(design, kinds, _work_extent(margins, kinds, work), ink, ENLARGEMENT)
    return replace(
        beads_scene(design, kinds, page.extent, inks.paper),
        enlargement=ENLARGEMENT,
        under=(_seams(margins),),
        between=between,
        over=(*work, Group("heading", page.heading), Group("legend", page.legend)),
    )


def beads_scene(design: Design, kinds: tuple[BeadDrawing, ...], extent: Extent, paper: str) -> Scene:
    """Lay out the beads of a design alone, as large as the work is, in the drawings of their kinds."""
    flat, order = design.bead_sizes.flat, _painting_order(design)
    return Scene(
        title=design.title,
        description=_describe(design),
        extent=extent,
        paper=paper,
        enlargement=1.0,
        slot_mm=(flat.length_mm, flat.diameter_mm),
        under=(),
        kinds=kinds,
        kind_of=_frozen(design.cells[order]),
        centres_mm=_frozen(design.grid.centres_mm(flat.length_mm, flat.diameter_mm)[order]),
        between=(),
        over=(),
    )


def front_groups(margins: Margins, part: Part, *, raised: bool) -> tuple[tuple[Group, ...], Group]:
    """Trace every tenth row front of a part: beneath raised beads, and more finely on top of them if there are any."""
    fronts = tenth_fronts(margins, part)
    between = (
        Group("row-fronts", draw_fronts(margins, fronts, margins.inks.front_line)),
        Group("rows-1-and-2", draw_first_front(margins, part)),
    )
    on_domes = draw_fronts(margins, fronts if raised else (), margins.inks.front_on_domes)
    return between, Group("row-fronts-on-domes", on_domes)


def _work_groups(design: Design, margins: Margins) -> tuple[Group, ...]:
    repeat, part = find_repeat(design), whole(design.grid)
    return (
        Group("tail", draw_tail(margins)),
        Group("row-numbers", draw_row_numbers(margins, part)),
        Group("column-numbers", draw_column_numbers(margins, part)),
        Group("repeat", () if repeat is None else mark_repeat(margins, repeat)),
    )


def _seams(margins: Margins) -> Group:
    """Fill what shows between the beads; the half slots at both ends of the work stay paper."""
    half = margins.diameter_mm / 2
    height = margins.height - 2 * half
    return Group("seams", (Rectangle(0.0, half, margins.width, height, 0.0, Paint(margins.inks.seam)),))


def _work_extent(margins: Margins, kinds: tuple[BeadDrawing, ...], groups: tuple[Group, ...]) -> Extent:
    bulge = union(extent_of(mark) for kind in kinds for mark in kind.marks)
    half_length, half_diameter = margins.length_mm / 2, margins.diameter_mm / 2
    beads = Extent(
        min(0.0, bulge.left + half_length),
        min(0.0, bulge.top + half_diameter),
        margins.width + max(0.0, bulge.right - half_length),
        margins.height + max(0.0, bulge.bottom - half_diameter),
    )
    return union([beads, *(extent_of(mark) for group in groups for mark in group.marks)])


def _painting_order(design: Design) -> NDArray[np.int64]:
    down, right = design.grid.place_of.T
    return np.lexsort((right, down, design.levels))


def _describe(design: Design) -> str:
    grid = design.grid
    lines = [f"Bead chart, {grid.columns} columns by {grid.rows} rows of {grid.name}, {grid.count} beads."]
    counts = design.counts.tolist()
    lines += [f"{b.kind}: {count} {b.size} {b.name}." for b, count in zip(design.beads, counts, strict=True)]
    return " ".join(lines)


def _frozen(array: NDArray[_T]) -> NDArray[_T]:
    array.flags.writeable = False
    return array
