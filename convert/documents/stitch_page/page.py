"""The stitch page of a design: one HTML file that holds all it needs and asks for nothing."""

import hashlib
import json
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import drawn_size_mm
from convert.chart.inks import choose_ink, outline_of
from convert.documents.html import pack, read_part, render_page
from convert.documents.stitch_page.shape import LyingBeads
from convert.rows.checkpoints import check_in_words
from convert.rows.find_repeat import Repeat, find_repeat
from convert.rows.row import RowOfWork, rows_of_work
from convert.surface.render.solids import solid_of_size
from shared.calibration import trust_in_words
from shared.design import Design
from shared.plural import counted

_PACKAGE = "convert.documents.stitch_page"
_SCRIPTS = ("place.js", "row.js", "chart.js", "shaders.js", "view.js", "actions.js")
_AXIS_STEPS = 127
"""An axis is a direction of length 1: its parts go as whole numbers of 8 bits."""


class PageBead(NamedTuple):
    """One entry of the design's beads as the page draws it, in its true proportions."""

    kind: str
    size: str
    name: str
    colour: str
    """As ``#rrggbb``."""
    edge: str
    """Of its outline."""
    ink: str
    """Of lettering on it."""
    round: bool
    length: float
    """Along the hole, in mm."""
    diameter: float
    """In mm."""
    level: int
    needed: int
    """How many the work takes."""


class StitchPlan(NamedTuple):
    """What she does, step by step, in the order of doing."""

    steps: tuple[RowOfWork, ...]
    repeat: Repeat | None
    checks: Mapping[int, tuple[str, ...]]
    """For the last row of a step, sentences on what must be seen once it is done."""


def plan_steps(design: Design) -> StitchPlan:
    """Return what there is to do for a design."""
    rows = rows_of_work(design)
    checks = {row.rows[-1]: tuple(map(check_in_words, row.checkpoints)) for row in rows if row.checkpoints}
    return StitchPlan(rows, find_repeat(design), checks)


def stitch_page(design: Design, plan: StitchPlan, lying: LyingBeads | None, why_not: str = "") -> bytes:
    """Write the page; the same values give the same bytes.

    Parameters
    ----------
    lying
        How its beads lie, for the view in space; None leaves the view out.
    why_not
        In words, why there is no view; the page says so where they are not empty.
    """
    text = render_page(
        _PACKAGE,
        "page.html",
        style=read_part(_PACKAGE, "style.css"),
        # In a block of its own nothing of the script can be reached from outside.
        script="\n".join(['"use strict";\n{', *(read_part(_PACKAGE, name) for name in _SCRIPTS), "}\n"]),
        title=design.title,
        work=_work_line(design),
        beads=_page_beads(design),
        data=page_data(design, plan, lying),
        shape=lying is not None,
        why_not=why_not,
        repeats=plan.repeat is not None,
        checks=bool(plan.checks),
    )
    return text.encode()


def _work_line(design: Design) -> str:
    grid = design.grid
    side = "left" if grid.hand == "right" else "right"
    end = "" if grid.start == "top" else ", row 1 at the bottom"
    size = f"{counted(grid.columns, 'column')}, {grid.rows} rows, {counted(grid.count, 'bead')}"
    return f"{size}; {grid.full_name}, tail at the {side}{end}"


def _page_beads(design: Design) -> list[PageBead]:
    """Return every entry of ``design.beads`` as the page draws it."""
    beads = []
    for bead, count in zip(design.beads, design.counts.tolist(), strict=True):
        level = design.bead_sizes.level_of[bead.size]
        size = design.bead_sizes.sizes[level]
        look = (bead.srgb, outline_of(bead.srgb, 0.5), choose_ink(bead.srgb), size.shape == "round")
        beads.append(PageBead(bead.kind, bead.size, bead.name, *look, size.length_mm, size.diameter_mm, level, count))
    return beads


def work_hash(design: Design) -> str:
    """Return 32 hex digits that stand for what is stitched.

    Neither title nor colours nor provenance count: with another name, or in other colours, it is the same work,
    and she keeps her place in it.
    """
    grid = design.grid
    kinds = [(bead.kind, bead.size) for bead in design.beads]
    facts = json.dumps([grid.columns, grid.rows, grid.hand, grid.start, grid.drop, kinds])
    return hashlib.sha256(facts.encode() + design.cells.astype("<i8").tobytes()).hexdigest()[:32]


def page_data(design: Design, plan: StitchPlan, lying: LyingBeads | None) -> dict[str, Any]:
    """Return the values of the script; beads are listed in needle order.

    Parameters
    ----------
    lying
        How its beads lie, None to show no shape.
    """
    grid, bead_sizes, repeat = design.grid, design.bead_sizes, plan.repeat
    place_of = {bead.kind: place for place, bead in enumerate(design.beads)}
    return {
        "hash": work_hash(design),
        "title": design.title,
        "columns": grid.columns,
        "rows": grid.rows,
        "start": grid.start,
        "drop": grid.drop,
        "slot": [bead_sizes.flat.length_mm, bead_sizes.flat.diameter_mm / 2],
        "drawn": [drawn_size_mm(bead_sizes, level) for level in range(len(bead_sizes.sizes))],
        "kinds": [
            [bead.kind, bead.name, bead.size, bead.colour, bead.edge, bead.ink, int(bead.round), bead.level]
            for bead in _page_beads(design)
        ],
        "places": pack(grid.place_of[grid.needle_order], "u2"),
        "steps": [
            [
                step.rows[0],
                step.rows[-1],
                step.direction,
                int(step.odd_count_turn),
                [n for run in step.runs for n in (run.beads, place_of[run.kind])],
            ]
            for step in plan.steps
        ],
        "repeats": None if repeat is None else [repeat.first, repeat.period, repeat.rows - repeat.end],
        "checks": {str(row): list(sentences) for row, sentences in plan.checks.items()},
        "shape": None if lying is None else _shape_data(lying),
    }


def _shape_data(lying: LyingBeads) -> dict[str, Any]:
    """Return the beads in needle order: where they lie and how they point, with what a number of each stands for.

    The middle of the work is at 0.
    """
    middle = (lying.centres_mm.min(axis=0) + lying.centres_mm.max(axis=0)) / 2
    steps, quantum_mm = quantise_mm(lying.centres_mm - middle)
    axes = np.rint(lying.axes * _AXIS_STEPS)
    return {
        "quantum": quantum_mm,
        "places": pack(steps.astype(np.int64), "i2"),
        "axes": pack(axes.astype(np.int64), "i1"),
        "solids": [list(solid_of_size(size)) for size in lying.bead_sizes.sizes],
        "trust": trust_in_words(lying.bead_sizes.gauge),
        "flat": lying.flat,
    }


def quantise_mm(values: NDArray[np.float64]) -> tuple[NDArray[np.float64], float]:
    """Bring values in mm to steps that fit into 16 bits: a tenth of the text that decimals would take.

    Parameters
    ----------
    values
        Shape (points, 3), about 0.

    Returns
    -------
    steps, quantum_mm
        Whole numbers from -32767 to 32767, and what one of them stands for.
    """
    quantum_mm = max(float(np.abs(values).max(initial=0)) / 32767, 1e-6)
    return np.rint(values / quantum_mm), quantum_mm
