"""What is chosen for shopping, every choice with its default: beads to spare, and how thread is cut."""

from dataclasses import dataclass

from shared.errors import BadChoiceError

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


@dataclass(frozen=True)
class ThreadOptions:
    """How thread is cut.

    Parameters
    ----------
    cut_mm
        One length of thread: 3 yards (2.74 m) in a published project.
    tail_mm
        Left hanging at each end of it: 20 to 45 cm in published projects.
    slack_percent
        Above the taut path, for tension, knots and turns: 10 to 20 is usual.
    spool_mm
        On one spool; None where unknown.

    Raises
    ------
    BadChoiceError
        When a length cannot be worked with.
    """

    cut_mm: float = 2740.0
    tail_mm: float = 300.0
    slack_percent: float = 15.0
    spool_mm: float | None = None

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
