"""The cells of a work: what the picture shows on each bead, before colours are brought down to a few."""

from typing import NamedTuple

import numpy as np

from convert.cells.area_mean import footprint_means
from convert.cells.choices import WHITE, CellChoices, SeenStyle, Style
from convert.cells.classify import guess_style, has_dark_ground
from convert.cells.line_art import sketch_cells
from convert.cells.logo import logo_cells
from convert.cells.outlined import outlined_cells, tell_crowded, try_ink
from convert.cells.supersample import View
from convert.image.decode import Decoded
from convert.image.raster import picture_from
from convert.layout.repeat import Layout
from shared.arrays import Bools, Floats
from shared.colour import codes_from_hex, lab_from_codes, lab_from_linear, linear_from_srgb
from shared.grid import Grid


class SeenBeads(NamedTuple):
    """What a picture shows on each bead of a lattice."""

    linear: Floats
    """Colours in linear light, shape (beads, 3)."""
    ink: Bools | None
    """Which beads belong to a drawn line, shape (beads,); None unless lines are drawn."""
    style: SeenStyle
    """As what the picture was taken."""
    notices: tuple[str, ...]
    """What a person should know of it."""


class CellColours(NamedTuple):
    """The value of the stage: what is to be coloured, for every bead that is worked out."""

    lab: Floats
    """CIELAB, shape (worked beads, 3)."""
    ink: Bools | None
    """See `SeenBeads`."""
    style: SeenStyle
    """See `SeenBeads`."""
    notices: tuple[str, ...]
    """See `SeenBeads`."""


def see_cells(options: CellChoices, picture: Decoded, layout: Layout) -> CellColours:
    """Return what the picture shows on each bead that is worked out; plain rows before a motif show the ground."""
    ground = linear_from_srgb(codes_from_hex(options.ground or WHITE) / 255)
    raster = picture_from(picture, turn=layout.plan.turn, mirror=layout.mirror, ground=ground)
    lines, window, bounds = layout.on(raster)
    view = View(raster if lines is None else raster.of_lines(lines), window, bounds, ground)
    seen = colour_beads(view, layout.seen_grid, style=options.style)
    lab = np.array(layout.tile(layout.motif_of(lab_from_linear(seen.linear))))
    if options.ground is not None:
        lab[layout.plain_lead] = lab_from_codes(codes_from_hex(options.ground))
    ink = None if seen.ink is None else layout.tile(layout.motif_of(seen.ink))
    return CellColours(lab, ink, seen.style, picture.notices + seen.notices)


def colour_beads(view: View, grid: Grid, *, style: Style) -> SeenBeads:
    """Bring a picture to beads in the way that suits its style.

    Parameters
    ----------
    view
        The picture and the place of the work on it.
    grid
        The lattice.
    style
        How it is drawn, or ``auto`` to guess.
    """
    taken, notices = _settle(view, grid, style)
    if taken == "lines":
        drawn = sketch_cells(view, grid, dark_ground=has_dark_ground(view))
        return SeenBeads(drawn.linear, drawn.ink, taken, notices)
    if taken == "outlined":
        # Black outlines on a night sky and white ones on a red ball are both usual: what adds more is the ink.
        light = has_dark_ground(view) and try_ink(view, grid, dark_ground=True).dark_ground
        drawn = outlined_cells(view, grid, dark_ground=light)
        return SeenBeads(drawn.linear, drawn.ink, taken, notices + tell_crowded(drawn, grid))
    if taken == "flat":
        return SeenBeads(logo_cells(view, grid), None, taken, notices)
    picture, window, bounds, outside = view
    means = footprint_means(picture, grid, window=window, bounds=bounds, outside=outside)
    return SeenBeads(means, None, taken, notices)


def _settle(view: View, grid: Grid, style: Style) -> tuple[SeenStyle, tuple[str, ...]]:
    if style != "auto":
        return style, ()
    guess = guess_style(view, grid)
    return guess.style, (f"the picture was taken for {WORDS[guess.style]}: {guess.reason} (--style says otherwise)",)


WORDS: dict[SeenStyle, str] = {
    "photo": "a photo",
    "flat": "flat areas",
    "outlined": "an outlined drawing",
    "lines": "lines",
}
"""The styles in a sentence."""
