"""What the page's script works with."""

import hashlib
import json
from typing import Any, NamedTuple

from convert.chart.bead_shapes import DARKEST_WITH_DARK_OUTLINE, drawn_size_mm
from convert.chart.inks import DARK, LIGHT, contrasting, luminance, mixed
from convert.documents.stitch_page.packed import packed
from convert.documents.stitch_page.plan import Plan
from convert.documents.stitch_page.shape import Lying, shape_values
from shared.design import Design


class DrawnBead(NamedTuple):
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


def drawn_beads(design: Design) -> tuple[DrawnBead, ...]:
    """Return every entry of ``design.beads`` as the page draws it."""
    return tuple(_drawn(design, place) for place in range(len(design.beads)))


def _drawn(design: Design, place: int) -> DrawnBead:
    bead, bead_sizes = design.beads[place], design.bead_sizes
    level = bead_sizes.level_of[bead.size]
    size = bead_sizes.sizes[level]
    shade = DARK if luminance(bead.srgb) > DARKEST_WITH_DARK_OUTLINE else LIGHT
    return DrawnBead(
        bead.kind,
        bead.size,
        bead.name,
        bead.srgb,
        mixed(bead.srgb, shade, 0.5),
        contrasting(bead.srgb),
        size.shape == "round",
        size.length_mm,
        size.diameter_mm,
        level,
        int(design.counts[place]),
    )


def work_hash(design: Design) -> str:
    """Return 32 hex digits that stand for what is stitched.

    Neither title nor colours nor provenance count: with another name, or in other colours, it is the same work,
    and she keeps her place in it.
    """
    grid = design.grid
    kinds = [(bead.kind, bead.size) for bead in design.beads]
    facts = json.dumps([grid.columns, grid.rows, grid.hand, grid.start, grid.drop, kinds])
    return hashlib.sha256(facts.encode() + design.cells.astype("<i8").tobytes()).hexdigest()[:32]


def page_data(design: Design, plan: Plan, lying: Lying | None) -> dict[str, Any]:
    """Return the values of the script; beads are listed in needle order.

    Parameters
    ----------
    design
        What is stitched.
    plan
        Its steps.
    lying
        How its beads lie, None to show no shape.
    """
    grid, bead_sizes = design.grid, design.bead_sizes
    levels = range(len(bead_sizes.sizes))
    return {
        "hash": work_hash(design),
        "title": design.title,
        "columns": grid.columns,
        "rows": grid.rows,
        "start": grid.start,
        "drop": grid.drop,
        "slot": [bead_sizes.flat.length_mm, bead_sizes.flat.diameter_mm / 2],
        "drawn": [drawn_size_mm(bead_sizes, level) for level in levels],
        "kinds": [
            [bead.kind, bead.name, bead.size, bead.colour, bead.edge, bead.ink, int(bead.round), bead.level]
            for bead in drawn_beads(design)
        ],
        "places": packed(grid.place_of[grid.needle_order], "u2"),
        "steps": [
            [
                step.rows[0],
                step.rows[-1],
                step.direction,
                int(step.odd_count_turn),
                [n for run in step.runs for n in run],
            ]
            for step in plan.steps
        ],
        "rounds": None if plan.rounds is None else [plan.rounds.first, plan.rounds.period, plan.rounds.last],
        "checks": {str(row): list(sentences) for row, sentences in plan.checks.items()},
        "shape": None if lying is None else shape_values(lying),
    }
