"""Arranging a chart's page: the heading above the work, the legend beside it or below."""

from dataclasses import dataclass
from math import hypot, log, sqrt

from convert.chart.bead_shapes import Kind
from convert.chart.headings import heading, notes, scale_bars
from convert.chart.inks import INKS
from convert.chart.legend import Table, legend, legend_table
from convert.chart.shapes import Block, Extent, Mark, all_moved, union
from convert.options import Ink
from shared.design import Design


@dataclass(frozen=True, slots=True)
class Page:
    """Where the page ends, and what stands on it about the work."""

    extent: Extent
    heading: tuple[Mark, ...]
    legend: tuple[Mark, ...]


def arranged(design: Design, kinds: tuple[Kind, ...], work: Extent, ink: Ink, enlargement: float) -> Page:
    """Put heading and legend about the work, whose margins are counted in.

    The legend goes beside the work or below, in as many columns as give the better page.
    """
    text = _text_size(design)
    table = legend_table(design, kinds, text)
    feet = [_foot(design, kinds, table, columns, ink) for columns in table.choices]
    beside = [(work.right + 2.5 * text, max(work.top, 0.0), foot) for foot in feet]
    below = [(work.left, work.bottom + 2 * text, foot) for foot in feet]
    x, y, foot = min([*beside, *below], key=lambda place: _faults(_with(work, *place)))
    body = _with(work, x, y, foot)
    head = heading(design, body.width, text, enlargement, INKS[ink])
    top = body.top - head.height - text
    margin = 1.5 * text
    extent = Extent(body.left - margin, top - margin, body.right + margin, body.bottom + margin)
    return Page(extent, all_moved(head.marks, body.left, top), all_moved(foot.marks, x, y))


def _with(work: Extent, x: float, y: float, foot: Block) -> Extent:
    return union([work, Extent(x, y, x + foot.width, y + foot.height)])


def _faults(extent: Extent) -> float:
    """Return how bad a page is: how much it takes, and how unlike a sheet it is, 1 to √2 (ISO 216), either way up.

    Both as logarithms; area weighs more, for a wide margin is no gain.
    """
    longer, shorter = max(extent.width, extent.height), min(extent.width, extent.height)
    return 1.5 * log(longer * shorter) + abs(log(longer / shorter / sqrt(2)))


def _text_size(design: Design) -> float:
    """Font size of legend and heading: it grows with large work, which is looked at from farther off."""
    diagonal = hypot(*design.extent_mm)
    return 0.75 * design.bead_sizes.flat.diameter_mm * max(1.0, sqrt(diagonal / 200))


def _foot(design: Design, kinds: tuple[Kind, ...], table: Table, columns: int, ink: Ink) -> Block:
    """Stack legend, scale bars and notes."""
    inks = INKS[ink]
    text = table.text
    keys = legend(design, kinds, table, columns, inks)
    bars = scale_bars(keys.width - 4 * text, text, inks)
    width = max(keys.width, bars.width)
    words = notes(design, ink, width, text, inks)
    marks: list[Mark] = []
    y = 0.0
    for block in (keys, bars, words):
        marks += all_moved(block.marks, 0.0, y)
        y += block.height + text
    return Block(tuple(marks), width, y - text)
