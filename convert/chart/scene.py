"""The chart of a design, laid out once as values in millimetres of the finished work.

The upper left corner of the work is (0, 0), so a bead's centre is what `shared.grid.Grid.centres_mm` says;
margins lie at negative places or past the work. Painters (SVG, PNG) draw this and decide nothing.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import Kind, bead_kinds
from convert.chart.inks import INKS
from convert.chart.page import arranged
from convert.chart.repeat_mark import repeat_mark
from convert.chart.row_numbers import (
    Front,
    Margins,
    column_numbers,
    margins_of,
    row_fronts,
    row_numbers,
    strand_front,
    strand_tail,
    tenth_fronts,
)
from convert.chart.shapes import Box, Extent, Mark, Paint, extent_of, union
from convert.options import DEFAULT_INK, Ink
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
    title
        The design's title, in full.
    description
        The chart in words.
    extent
        The page.
    paper
        Colour of the page as ``#rrggbb``.
    enlargement
        How many times its size the work is printed.
    slot_mm
        Length and diameter of a flat bead: the finest thing to be told apart.
    under
        What lies beneath the beads.
    kinds
        How each entry of the design's beads is drawn.
    kind_of
        The kind of each bead in the order of painting: level by level, then from the top, then from the
        left, shape (beads,).
    centres_mm
        Centre of each of them as x, y, shape (beads, 2).
    between
        What lies on the flat beads, beneath the raised ones.
    over
        What lies on top of and around all beads.
    """

    title: str
    description: str
    extent: Extent
    paper: str
    enlargement: float
    slot_mm: tuple[float, float]
    under: tuple[Group, ...]
    kinds: tuple[Kind, ...]
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
    design
        What to draw.
    ink
        ``"colour"``, or ``"black"``: white beads with a sign for each key.

    Raises
    ------
    BadChoiceError
        In black ink, when there are more keys than signs for them.
    """
    inks = INKS[ink]
    kinds = bead_kinds(design, ink)
    margins = margins_of(design, inks)
    repeat = find_repeat(design)
    marked = Group("repeat", () if repeat is None else repeat_mark(margins, repeat))
    fronts = tenth_fronts(margins)
    work = (*_work_groups(margins, fronts if design.levels.any() else ()), marked)
    page = arranged(design, kinds, _work_extent(margins, kinds, work), ink, ENLARGEMENT)
    order = _painting_order(design)
    return Scene(
        title=design.title,
        description=_description(design),
        extent=page.extent,
        paper=inks.paper,
        enlargement=ENLARGEMENT,
        slot_mm=(margins.length_mm, margins.diameter_mm),
        under=(_seams(margins),),
        kinds=kinds,
        kind_of=_frozen(design.cells[order]),
        centres_mm=_frozen(design.grid.centres_mm(margins.length_mm, margins.diameter_mm)[order]),
        between=_fronts(margins, fronts),
        over=(*work, Group("heading", page.heading), Group("legend", page.legend)),
    )


def _fronts(margins: Margins, fronts: tuple[Front, ...]) -> tuple[Group, ...]:
    return (
        Group("row-fronts", row_fronts(margins, fronts, margins.inks.front_line)),
        Group("strand", strand_front(margins)),
    )


def _work_groups(margins: Margins, on_domes: tuple[Front, ...]) -> tuple[Group, ...]:
    return (
        Group("row-fronts-on-domes", row_fronts(margins, on_domes, margins.inks.front_on_domes)),
        Group("tail", strand_tail(margins)),
        Group("row-numbers", row_numbers(margins)),
        Group("column-numbers", column_numbers(margins)),
    )


def _seams(margins: Margins) -> Group:
    """Fill what shows between the beads; the half slots at both ends of the work stay paper."""
    half = margins.diameter_mm / 2
    height = margins.height - 2 * half
    return Group("seams", (Box(0.0, half, margins.width, height, 0.0, Paint(margins.inks.seam)),))


def _work_extent(margins: Margins, kinds: tuple[Kind, ...], groups: tuple[Group, ...]) -> Extent:
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


def _description(design: Design) -> str:
    grid = design.grid
    lines = [f"Bead chart, {grid.columns} columns by {grid.rows} rows of {grid.name}, {grid.count} beads."]
    counts = design.counts.tolist()
    lines += [f"{b.kind}: {count} {b.size} {b.name}." for b, count in zip(design.beads, counts, strict=True)]
    return " ".join(lines)


def _frozen(array: NDArray[_T]) -> NDArray[_T]:
    array.flags.writeable = False
    return array
