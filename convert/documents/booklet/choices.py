"""Every choice of the booklet with its default, once."""

from dataclasses import dataclass, field

from convert.chart.choices import DEFAULT_INK, Ink
from convert.documents.booklet.studio import Studio
from convert.documents.kit_labels.paper import Paper
from convert.options import Options
from convert.shopping.choices import ThreadOptions
from convert.shopping.packs import PackOf, no_packs
from convert.shopping.wrists import CLASP_MM, DEFAULT_EASE, EASES
from shared.errors import BadChoiceError

SMALLEST_BEAD_MM, LARGEST_BEAD_MM = 0.5, 20.0


@dataclass(frozen=True)
class Choices:
    """How a booklet is made.

    Parameters
    ----------
    paper
        ``"a4"`` or ``"letter"``.
    large_print
        Text and word rows of 18 points.
    ink
        ``"colour"``, or ``"black"`` for signs instead of colours.
    least_bead_mm
        The shorter side of a flat bead in the chart is not less; None for what suits the print.
    spare_percent
        Beads to buy above the count.
    pack_of
        How beads are sold.
    ease_mm, clasp_mm
        For the table of sizes.
    thread
        How thread is cut.
    studio
        What the designer says of herself.

    Raises
    ------
    BadChoiceError
        When a number cannot be worked with.
    """

    paper: Paper = "a4"
    large_print: bool = False
    ink: Ink = DEFAULT_INK
    least_bead_mm: float | None = None
    spare_percent: float = Options().spare_percent
    pack_of: PackOf = no_packs
    ease_mm: float = EASES[DEFAULT_EASE]
    clasp_mm: float = CLASP_MM
    thread: ThreadOptions = field(default_factory=ThreadOptions)
    studio: Studio = field(default_factory=Studio)

    def __post_init__(self) -> None:
        Options(spare_percent=self.spare_percent)
        if self.least_bead_mm is not None and not SMALLEST_BEAD_MM <= self.least_bead_mm <= LARGEST_BEAD_MM:
            raise BadChoiceError(
                f"a chart bead of {self.least_bead_mm:g} mm cannot be printed; "
                f"give --least-bead from {SMALLEST_BEAD_MM:g}mm to {LARGEST_BEAD_MM:g}mm"
            )
