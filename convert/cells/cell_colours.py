"""The colours of the beads before they are brought down to a few, by the kind of picture."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.cells.area_mean import footprint_means
from convert.cells.classify import guess_kind, has_dark_ground
from convert.cells.line_art import sketch_cells
from convert.cells.logo import logo_cells
from convert.cells.supersample import View
from convert.options import SeenStyle, Style
from shared.grid import Grid


class Cells(NamedTuple):
    """What a picture shows on each bead."""

    linear: NDArray[np.float64]
    """Colours in linear light, shape (beads, 3)."""
    ink: NDArray[np.bool_] | None
    """Which beads belong to a drawn line, shape (beads,); None unless the picture is a sketch."""
    style: SeenStyle
    """As what the picture was taken."""
    notices: tuple[str, ...]
    """What a person should know of it."""


def bead_colours(view: View, grid: Grid, *, style: Style) -> Cells:
    """Bring a picture to beads in the way that suits its style.

    Parameters
    ----------
    view
        The picture and the place of the work on it.
    grid
        The lattice.
    style
        What it is, or ``auto`` to guess.
    """
    taken, notices = _settled(view, grid, style)
    if taken == "lines":
        linear, ink = sketch_cells(view, grid, dark_ground=has_dark_ground(view))
        return Cells(linear, ink, taken, notices)
    if taken == "flat":
        return Cells(logo_cells(view, grid), None, taken, notices)
    picture, window, bounds, outside = view
    means = footprint_means(picture, grid, window=window, bounds=bounds, outside=outside)
    return Cells(means, None, taken, notices)


def _settled(view: View, grid: Grid, style: Style) -> tuple[SeenStyle, tuple[str, ...]]:
    if style != "auto":
        return style, ()
    taken, because = guess_kind(view, grid.columns)
    return taken, (f"the picture was taken for a {taken}: {because} (--style says otherwise)",)
