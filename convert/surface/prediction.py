"""The prediction of a shape: a surface that came to rest, and what can be read off it.

It depends on the sizes of the beads, on where they lie and on what the work lies on; colours are no part of it. The
solver is loaded where it is called: flat work needs none.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from convert.layout.repeat import Layout
from convert.progress import Progress, silent
from convert.relief.height_map import Relief
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid

if TYPE_CHECKING:
    from convert.surface.measure import SurfaceFigures
    from convert.surface.stitch_problems import StitchProblem
    from convert.surface.surface import Surface


MOST_BEADS = 25_000
"""For outputs that tell of a shape in passing larger works are left out: it would take longer than all the rest."""


class Prediction(NamedTuple):
    """A surface that came to rest, and what can be read off it."""

    surface: "Surface"
    """Where the beads lie."""
    found: "SurfaceFigures"
    """Domes and finished size."""
    report: "tuple[StitchProblem, ...]"
    """Where beads will not fit."""
    wrist_mm: float | None
    """Circumference of the wrist that it lies on; None for a table."""

    @property
    def summary(self) -> str:
        """The prediction in a line."""
        from convert.surface.words import sum_up

        return sum_up(self.found, self.report)


class Known(NamedTuple):
    """What is known of a shape."""

    prediction: Prediction | None
    """None where all lies flat, and where there is none."""
    why: str
    """Why there is none; empty where there is one, and where all lies flat."""


def bending_of(bead_sizes: BeadSizes) -> float:
    """Return how stiffly cloth of bead sizes bends: as its gauge says, or as usual."""
    from convert.surface.continuation import BENDING

    return BENDING if bead_sizes.gauge is None else bead_sizes.gauge.bending


def predict(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, *, wrist_mm: float | None = None, progress: Progress = silent
) -> Prediction:
    """Predict the shape of a work and what there is to say of it.

    Parameters
    ----------
    grid, bead_sizes
        Of the work; the gauge of the sizes says how stiffly it bends.
    levels
        The level of each bead, shape (beads,).
    wrist_mm
        Circumference of a wrist to lay the work round; a table if none is given.
    progress
        Told what is being done; may raise to stop it.

    Raises
    ------
    BadChoiceError
        When the work is too large, goes round the wrist more than once, or did not come to rest.
    """
    from convert.surface.measure import read_figures
    from convert.surface.solve import solve_surface
    from convert.surface.stitch_problems import find_stitch_problems

    bending = bending_of(bead_sizes)
    surface = solve_surface(grid, bead_sizes, levels, wrist_mm=wrist_mm, bending=bending, progress=progress)
    return Prediction(surface, read_figures(surface), find_stitch_problems(surface), wrist_mm)


def predict_if_small(grid: Grid, bead_sizes: BeadSizes, levels: Ints, *, progress: Progress = silent) -> Known:
    """Predict the shape of work with domes on a table, unless it is too large, two-drop, or does not come to rest."""
    if (levels == levels[0]).all():
        return Known(None, "")
    if grid.count > MOST_BEADS:
        left_out = f"over {MOST_BEADS:,} beads the surface is left out; hummock surface predicts it from the design"
        return Known(None, left_out)
    try:
        return Known(predict(grid, bead_sizes, levels, progress=progress), "")
    except BadChoiceError as error:
        return Known(None, str(error))


@dataclass(frozen=True)
class ShapeChoices:
    """Nothing yet: the work lies on a table, and bends as its bead sizes say."""


def predict_shape(
    _: ShapeChoices, layout: Layout, bead_sizes: BeadSizes, relief: Relief, *, progress: Progress = silent
) -> Known:
    """Predict how the work lies, where that is soon known."""
    return predict_if_small(layout.grid, bead_sizes, relief.levels, progress=progress)
