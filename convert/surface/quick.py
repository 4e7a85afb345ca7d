"""The surface of a design where it is soon known: for outputs that tell of a shape in passing."""

from typing import TYPE_CHECKING, NamedTuple

from convert.progress import Progress, silent
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid

if TYPE_CHECKING:
    from convert.surface.predict import Prediction

MOST_BEADS = 25_000
"""The surface of larger works is left out, for it would take longer than all the rest."""


class Known(NamedTuple):
    """What is known of a shape."""

    prediction: "Prediction | None"
    """None where all lies flat, and where there is none."""
    why: str
    """Why there is none; empty where there is one, and where all lies flat."""


def quickly_predicted(grid: Grid, bead_sizes: BeadSizes, levels: Ints, *, progress: Progress = silent) -> Known:
    """Predict the surface of a work with domes, unless it is too large, two-drop, or does not come to rest."""
    if (levels == levels[0]).all():
        return Known(None, "")
    if grid.count > MOST_BEADS:
        left_out = f"over {MOST_BEADS:,} beads the surface is left out; hummock surface predicts it from the design"
        return Known(None, left_out)

    from convert.surface.predict import predict

    try:
        return Known(predict(grid, bead_sizes, levels, progress=progress), "")
    except BadChoiceError as error:
        return Known(None, str(error))
