"""The predicted surface as the page's view in space takes it."""

from typing import Any

import numpy as np

from convert.documents.bench.packed import packed, quantised
from convert.progress import Progress, silent
from convert.surface.overlap import hole_axes
from convert.surface.predict import bending_of
from convert.surface.solids import shape_of, upright
from convert.surface.solve import MOST_BEADS, Surface, solve_surface
from shared.design import Design
from shared.gauge import trust_in_words

_AXIS_STEPS = 127


def predicted(design: Design, *, progress: Progress = silent) -> tuple[Surface | None, str]:
    """Predict the shape of a design, lying on a table.

    Returns
    -------
    surface, notice
        No surface where the work is two-drop, too large, or does not come to rest; the notice says why, and is
        empty otherwise.
    """
    if design.grid.drop != 1:
        return None, "no view in space: the shape of two-drop work is not predicted"
    if design.grid.count > MOST_BEADS:
        return None, f"no view in space: the shape of more than {MOST_BEADS:,} beads is not predicted"
    surface = solve_surface(
        design.grid, design.ladder, design.levels, bending=bending_of(design.ladder), progress=progress
    )
    if not surface.converged:
        return None, "no view in space: the predicted shape did not come to rest"
    return surface, ""


def shape_values(surface: Surface) -> dict[str, Any]:
    """Return the beads in needle order: where they lie and how they point, with what a number of each stands for.

    Axes are those of `convert.surface.solids`; the middle of the work is at 0.
    """
    order = surface.grid.needle_order
    centres = upright(surface.centres_mm)[order]
    middle = (centres.min(axis=0) + centres.max(axis=0)) / 2
    steps, quantum_mm = quantised(centres - middle)
    axes = np.rint(upright(hole_axes(surface))[order] * _AXIS_STEPS)
    return {
        "quantum": quantum_mm,
        "places": packed(steps.astype(np.int64), "i2"),
        "axes": packed(axes.astype(np.int64), "i1"),
        "solids": [list(shape_of(size)) for size in surface.ladder.sizes],
        "trust": trust_in_words(surface.ladder.gauge),
        "flat": bool((surface.levels == surface.levels[0]).all()),
    }
