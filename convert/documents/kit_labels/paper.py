"""Paper that labels are printed on."""

from typing import Literal, NamedTuple

Paper = Literal["a4", "letter"]


class Sheet(NamedTuple):
    """A sheet of labels, in mm."""

    width_mm: float
    """Across."""
    height_mm: float
    """Down."""
    side_mm: float
    """Margin at the left and at the right."""
    top_mm: float
    """Margin at the top and at the bottom."""
    across: int
    """Labels in a line."""
    down: int
    """Lines."""


SHEETS: dict[Paper, Sheet] = {"a4": Sheet(210, 297, 9, 12, 3, 7), "letter": Sheet(215.9, 279.4, 9, 12, 3, 6)}
"""A4 by ISO 216, letter of 8.5 x 11 inches."""
