"""The stage that predicts the shape: from sizes alone, so that other colours never solve it again."""

from dataclasses import dataclass

from convert.layout.repeat import Layout
from convert.progress import Progress, silent
from convert.relief.height_map import Relief
from convert.surface.quick import Known, quickly_predicted
from shared.beads import BeadSizes


@dataclass(frozen=True)
class ShapeChoices:
    """Nothing yet: the work lies on a table, and bends as its bead sizes say."""


def predict_shape(
    _: ShapeChoices, layout: Layout, bead_sizes: BeadSizes, relief: Relief, *, progress: Progress = silent
) -> Known:
    """Predict how the work lies, where that is soon known."""
    return quickly_predicted(layout.grid, bead_sizes, relief.levels, progress=progress)
