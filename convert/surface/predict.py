"""A design becomes a predicted surface, and that its files."""

from typing import NamedTuple

from convert.output_names import SURFACE_NAMES
from convert.progress import Progress, silent
from convert.surface.continuation import BENDING
from convert.surface.measure import Figures, figures
from convert.surface.render.glb import surface_glb
from convert.surface.render.png import surface_png
from convert.surface.solve import solve_surface
from convert.surface.stitch_problems import Misfit, fit_report
from convert.surface.surface import Surface
from convert.surface.surface_json import surface_text
from convert.surface.words import assumptions, in_words, net_in_words
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.design import Design
from shared.grid import Grid


class Prediction(NamedTuple):
    """A surface that came to rest, and what can be read off it."""

    surface: Surface
    """Where the beads lie."""
    found: Figures
    """Domes and finished size."""
    report: tuple[Misfit, ...]
    """Where beads will not fit."""
    wrist_mm: float | None
    """Circumference of the wrist that it lies on; None for a table."""

    @property
    def summary(self) -> str:
        """The prediction in a line."""
        return "; ".join(filter(None, [in_words(self.found, self.report), net_in_words(self.surface)]))


def bending_of(bead_sizes: BeadSizes) -> float:
    """Return how stiffly cloth of bead sizes bends: as its gauge says, or as usual."""
    return BENDING if bead_sizes.gauge is None else bead_sizes.gauge.bending


def predict(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, *, wrist_mm: float | None = None, progress: Progress = silent
) -> Prediction:
    """Predict the shape of a work and what there is to say of it.

    Parameters
    ----------
    grid, ladder
        Of the work.
    levels
        The level of each bead, shape (beads,).
    wrist_mm
        Circumference of a wrist to lay the work round; a table if none is given.
    progress
        Told what is being done.

    Raises
    ------
    BadChoiceError
        When the work is too large, goes round the wrist more than once, or did not come to rest.
    """
    surface = solve_surface(
        grid, bead_sizes, levels, wrist_mm=wrist_mm, bending=bending_of(bead_sizes), progress=progress
    )
    return Prediction(surface, figures(surface), fit_report(surface), wrist_mm)


def surface_files(design: Design, prediction: Prediction, *, progress: Progress = silent) -> dict[str, bytes]:
    """Make the content of each file in `SURFACE_NAMES`."""
    surface, found, report, wrist_mm = prediction
    assumed = assumptions(surface, bending=bending_of(surface.bead_sizes), wrist_mm=wrist_mm)
    text = surface_text(
        surface, found, report, title=design.title, summary=prediction.summary, assumed=assumed, wrist_mm=wrist_mm
    ).encode()
    progress("painting the surface")
    picture = surface_png(surface, design, found, summary=prediction.summary)
    return dict(zip(SURFACE_NAMES, (text, picture, surface_glb(surface, design)), strict=True))
