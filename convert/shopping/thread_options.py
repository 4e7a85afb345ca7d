"""How thread is cut: every choice with its default and where that comes from."""

from dataclasses import dataclass

from shared.errors import BadChoiceError

MOST_MM = 1e7
"""No thread is longer; such a figure is a slip of the unit."""


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
