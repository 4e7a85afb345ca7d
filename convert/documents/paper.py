"""Paper that booklets and labels are printed on."""

from typing import Literal, NamedTuple

Paper = Literal["a4", "letter"]


class PaperSheet(NamedTuple):
    """A sheet of paper with the grid of its labels, in mm."""

    width_mm: float
    height_mm: float
    side_mm: float
    """Margin of the labels at the left and at the right."""
    top_mm: float
    """Margin of the labels at the top and at the bottom."""
    across: int
    down: int


SHEETS: dict[Paper, PaperSheet] = {
    "a4": PaperSheet(210, 297, 9, 12, 3, 7),
    "letter": PaperSheet(215.9, 279.4, 9, 12, 3, 6),
}
"""A4 by ISO 216, letter of 8.5 x 11 inches."""
