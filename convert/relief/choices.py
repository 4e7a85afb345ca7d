"""What one may choose of how heights become bead sizes."""

from dataclasses import dataclass
from typing import Literal

from convert.relief.dome_syntax import DomeShape
from shared.choice import choice
from shared.errors import BadChoiceError

Slopes = Literal["trim", "widen"]
Guess = Literal["saliency", "luminance"]

MOST_BLUR_MM = 50.0
"""A wider smoothing leaves nothing of any height map; it is a slip of the unit."""


@dataclass(frozen=True)
class ReliefChoices:
    """Choices of the stage that raises beads.

    Raises
    ------
    BadChoiceError
        When thresholds or smoothing are out of range.
    """

    domes: tuple[DomeShape, ...] = choice(
        (),
        "Heights",
        'Raise a shape, like "diamond 12,9 r5" (see hummock heights); give it again for more.',
        form="dome",
        option="raise",
        metavar="WORDS",
        many=True,
    )
    thresholds: tuple[float, ...] | None = choice(
        None, "Heights", "Heights where the next size begins, like 0.25,0.5,0.75.", form="shares"
    )
    slopes: Slopes = choice("trim", "Heights", "Slopes are taken off the domes (trim) or added around them (widen).")
    blur_mm: float = choice(0.0, "Heights", "Smooth the height map, like 1.5mm.", form="length or none", option="blur")
    invert_heights: bool = choice(False, "Heights", "White is flat, black is highest.")
    stretch_heights: bool = choice(False, "Heights", "Accept a height map of another shape than the picture's.")

    def __post_init__(self) -> None:
        if not 0 <= self.blur_mm <= MOST_BLUR_MM:
            raise BadChoiceError(f"a blur of {self.blur_mm:g} mm cannot be had; give 0mm to {MOST_BLUR_MM:g}mm")
        at = self.thresholds
        if at is not None and not (at and all(0 < height <= 1 for height in at) and list(at) == sorted(set(at))):
            raise BadChoiceError("thresholds must rise and lie above 0 and up to 1, like 0.25,0.5,0.75")
