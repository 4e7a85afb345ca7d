"""Lengths as people write them; millimetres inside."""

import math
import re
from typing import Literal

from shared.errors import BadChoiceError

MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4}
"""Millimetres in each unit; the inch is 25.4 mm by the international yard and pound agreement of 1959."""

Units = Literal["both", "mm", "in"]
"""In which units lengths are told."""

_LENGTH = re.compile(r"(?P<number>[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+))(?:\s*(?P<unit>[a-z]+|\"))?", re.IGNORECASE)


def parse_length_mm(text: str, *, zero: bool = False) -> float:
    """Read a length with its unit.

    Parameters
    ----------
    text
        For instance ``"165mm"``, ``"16.5 cm"``, ``"6.5in"`` or ``'6.5"'``.
    zero
        Whether it may be nothing at all.

    Returns
    -------
    float
        Millimetres, above zero unless ``zero``.

    Raises
    ------
    BadChoiceError
        When it is no length, has no unit, or is not above zero.
    """
    found = _LENGTH.fullmatch(text.strip())
    if found is None:
        raise BadChoiceError(f"'{text}' is not a length; write it like 165mm or 6.5in")
    number, unit = found["number"].replace(",", "."), found["unit"]
    if unit is None:
        raise BadChoiceError(f"'{text}' has no unit; write {text.strip()}mm or {text.strip()}in")
    if unit.lower() not in MM_PER_UNIT:
        raise BadChoiceError(f"'{unit}' in '{text}' is no unit of length known here; use mm, cm, m or in")
    length_mm = float(number) * MM_PER_UNIT[unit.lower()]
    if zero and length_mm == 0:
        return 0.0
    if not 0 < length_mm < math.inf:
        raise BadChoiceError(f"'{text}' must be above zero")
    return length_mm


def length_text(length_mm: float) -> str:
    """Write a length for people, in mm and inches: ``120.8 mm (4.76 in)``."""
    return length_in(length_mm, "both")


def length_in(length_mm: float, units: Units) -> str:
    """Write a length for people in the units asked for.

    Examples
    --------
    >>> length_in(165.1, "both"), length_in(165.1, "in")
    ('165.1 mm (6.50 in)', '6.50 in')
    """
    mm, inches = f"{length_mm:.1f} mm", f"{length_mm / 25.4:.2f} in"
    return {"both": f"{mm} ({inches})", "mm": mm, "in": inches}[units]
