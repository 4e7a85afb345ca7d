"""What is chosen for shopping, every choice with its default: spare, packs, fit to a wrist, and how thread is cut."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from convert.shopping.wrists import CLASP_MM, DEFAULT_EASE, EASES
from shared.choice import choice
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.shopping.packs import ChosenPack
    from palettes.palette import Palette

SPARE_PERCENT = 10.0
"""Beads above the count where nothing else is said; a common convention without a source."""

MOST_SPARE_PERCENT = 1000

MOST_MM = 1e7
"""No thread is longer; such a figure is a slip of the unit."""


def check_spare(spare_percent: float) -> float:
    """Return beads above the count, in per cent, as they were given.

    Raises
    ------
    BadChoiceError
        When they cannot be meant.
    """
    if not 0 <= spare_percent <= MOST_SPARE_PERCENT:
        raise BadChoiceError(f"{spare_percent:g} per cent spare cannot be meant; give 0 to {MOST_SPARE_PERCENT}")
    return spare_percent


@dataclass(frozen=True, kw_only=True)
class SpareChoice:
    """How many beads to have above the count.

    Raises
    ------
    BadChoiceError
        When they cannot be meant.
    """

    spare_percent: float = choice(
        SPARE_PERCENT, "Output", "Beads to buy above the count.", form="percent", option="spare"
    )

    def __post_init__(self) -> None:
        check_spare(self.spare_percent)


@dataclass(frozen=True, kw_only=True)
class PackChoices(SpareChoice):
    """How many beads to have above the count, and how they are sold."""

    packs: "tuple[ChosenPack, ...]" = choice(
        (),
        "Output",
        "Weight of a pack: 10g, or 8=20g for one size; may come again.",
        form="pack",
        option="pack",
        many=True,
    )
    palette: "Palette | None" = choice(
        None, "Output", "Where pack weights and prices are known from.", form="palette", metavar="FILE|NAME"
    )


@dataclass(frozen=True, kw_only=True)
class ClaspChoice:
    """What the clasp adds to the beadwork."""

    clasp_mm: float = choice(
        CLASP_MM,
        "Output",
        "What the clasp adds to the length; the default is a convention, measure yours.",
        form="length or none",
        option="clasp",
        shown=f"{CLASP_MM:g}mm",
    )


@dataclass(frozen=True, kw_only=True)
class WristChoices(PackChoices, ClaspChoice):
    """What is asked for, whatever the wrist."""

    ease_mm: float = choice(
        EASES[DEFAULT_EASE],
        "Output",
        "What the bracelet is longer than the wrist: 10, 20 or 30 mm, or a length.",
        form="ease",
        option="ease",
        shown=DEFAULT_EASE,
    )
    plain_ends: bool = choice(False, "Output", "Fill what whole repeats leave over with plain rows at both ends.")


@dataclass(frozen=True)
class ThreadOptions:
    """How thread is cut; the defaults are those of published projects, in mm.

    Raises
    ------
    BadChoiceError
        When a length cannot be worked with.
    """

    cut_mm: float = choice(
        2740.0, "Output", "One length of thread, tails included.", form="length", option="cut", shown="2.74m"
    )
    tail_mm: float = choice(
        300.0, "Output", "Left at each end of it.", form="length or none", option="tail", shown="30cm"
    )
    slack_percent: float = choice(
        15.0, "Output", "Thread above the taut path, for tension, knots and turns.", form="percent", option="slack"
    )
    spool_mm: float | None = choice(None, "Output", "Thread on one spool, like 50m.", form="length", option="spool")

    def __post_init__(self) -> None:
        if not 0 < self.cut_mm <= MOST_MM or not 0 <= self.tail_mm <= MOST_MM:
            raise BadChoiceError("no thread is that long; write --cut and --tail like 2.5m and 30cm")
        if self.cut_mm <= 2 * self.tail_mm:
            raise BadChoiceError(
                f"a thread of {self.cut_mm:g} mm is nothing but tails of {self.tail_mm:g} mm; "
                "give a longer --cut or a shorter --tail"
            )
        if not 0 <= self.slack_percent <= 1000:
            raise BadChoiceError(f"a slack of {self.slack_percent:g} per cent cannot be meant; give 0 to 1000")
        if self.spool_mm is not None and not 0 < self.spool_mm <= MOST_MM:
            raise BadChoiceError("no spool is that long; write it like 50m")
