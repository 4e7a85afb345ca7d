"""How large the pages of a booklet are, and how large its text."""

from dataclasses import dataclass

from convert.documents.paper import SHEETS, Paper

MARGIN_MM = 16.0
PT_MM = 25.4 / 72


@dataclass(frozen=True)
class PageLayout:
    """Pages and text.

    Parameters
    ----------
    body_pt, rows_pt, kinds_pt, small_pt
        Of running text, word rows, the list of kinds below a chart, and what stands at the edges of a page.
    most_enlarged
        How many times its size the work is printed at most.
    least_bead_mm
        The shorter side of a flat bead in the chart is not less, unless asked.
    least_number_mm
        Font size of the numbers next to the chart, where beads are large enough for it.
    """

    width_mm: float
    height_mm: float
    margin_mm: float
    body_pt: float
    rows_pt: float
    kinds_pt: float
    small_pt: float
    most_enlarged: float
    least_bead_mm: float
    least_number_mm: float

    @property
    def line_mm(self) -> float:
        """Width of a line of text."""
        return self.width_mm - 2 * self.margin_mm

    @property
    def column_mm(self) -> float:
        """Height of the text of a page."""
        return self.height_mm - 2 * self.margin_mm


def layout_for(paper: Paper, *, large_print: bool) -> PageLayout:
    """Return the layout for a paper.

    Large print has running text and word rows of 18 points, and nothing under 16 but the numbers next to a chart, which
    are as large as its rows.
    """
    width, height, *_ = SHEETS[paper]
    if large_print:
        return PageLayout(width, height, MARGIN_MM, 18.0, 18.0, 16.0, 16.0, 4.5, 3.5, 16.0 * PT_MM)
    return PageLayout(width, height, MARGIN_MM, 10.5, 11.0, 9.0, 8.5, 3.0, 2.0, 2.2)
