"""Wrists: what people's measure, how loosely a bracelet sits, and how long its beadwork must be."""

from typing import NamedTuple

from shared.errors import BadChoiceError
from shared.units import parse_length_mm

WIDEST_MM = 3000.0
"""Belts and garlands are made so as well; a longer wrist is a slip of the unit."""

CLASP_MM = 20.0
"""What a clasp adds to the length: a common convention without a source; measure your own."""

EASES = {"snug": 10.0, "comfortable": 20.0, "loose": 30.0}
"""What a bracelet is longer than the wrist, in mm. They lie within, or near, every one of six shops' tables."""

DEFAULT_EASE = "comfortable"

SURVEY = "wrist percentiles of the 2012 Anthropometric Survey of U.S. Army Personnel (NATICK/TR-15/007), adults"
"""Worked out from its public data: 1,986 women and 4,082 men."""


class Size(NamedTuple):
    """One size of a table."""

    name: str
    wrist_mm: float


SURVEY_SIZES = (
    Size("women P5", 142),
    Size("women P25", 150),
    Size("women P50", 154),
    Size("women P75", 160),
    Size("men P5", 162),
    Size("women P95", 168),
    Size("men P25", 170),
    Size("men P50", 176),
    Size("men P75", 182),
    Size("men P95", 191),
)
"""Percentiles of `SURVEY` in rising order: half of the women measured have a wrist of 154 mm or less."""


def parse_wrist_mm(words: str) -> float:
    """Read a circumference such as ``165mm`` or ``6.5in``.

    Raises
    ------
    BadChoiceError
        When it is no length, or none of a wrist.
    """
    wrist_mm = parse_length_mm(words)
    if wrist_mm > WIDEST_MM:
        raise BadChoiceError(f"'{words}' is no wrist; write its circumference like 165mm or 6.5in")
    return wrist_mm


def parse_ease_mm(words: str) -> float:
    """Read an ease: a word of `EASES`, or a length that may be nothing at all."""
    word = words.strip().lower()
    if word in EASES:
        return EASES[word]
    try:
        return parse_length_mm(words, zero=True)
    except BadChoiceError as error:
        raise BadChoiceError(f"{error}; or say {', '.join(EASES)}") from error


def beadwork_mm(wrist_mm: float, ease_mm: float, clasp_mm: float) -> float:
    """Return how long the beadwork between the parts of a clasp must be: wrist + ease - clasp, in mm.

    Examples
    --------
    >>> beadwork_mm(165, 20, 20)
    165
    """
    return wrist_mm + ease_mm - clasp_mm
