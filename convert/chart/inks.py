"""What the chart is printed with: inks for paper, lines and lettering, in colour or in black alone."""

from dataclasses import dataclass

import numpy as np

from convert.chart.choices import Ink
from shared.colour import SRGB_TO_XYZ, codes_from_hex, hex_from_codes, linear_from_srgb

DARK, LIGHT = "#000000", "#ffffff"

DARKEST_WITH_DARK_OUTLINE = 0.09
"""Luminance under which a bead is outlined in a lighter shade of its colour instead of a darker one."""


@dataclass(frozen=True, slots=True)
class Inks:
    """The colours of everything but the beads, as ``#rrggbb``.

    Parameters
    ----------
    paper
        The ground of the page.
    text
        Lettering that matters, and ticks.
    quiet
        Lettering that helps.
    seam
        What shows between the beads.
    guide
        The front of every tenth row.
    accent
        Rows 1 and 2, the tail, and the repeat's bracket.
    front_edge
        What edges the fronts, None for nothing.
    front_line
        Width of the fronts, in diameters of a slot; heavier where it must stand out from black outlines.
    front_on_domes
        The same where they cross larger beads.
    """

    paper: str
    text: str
    quiet: str
    seam: str
    guide: str
    accent: str
    front_edge: str | None
    front_line: float
    front_on_domes: float


INKS: dict[Ink, Inks] = {
    "colour": Inks("#ffffff", "#26323a", "#5d6b74", "#9aa3a8", "#26323a", "#0b6e78", "#ffffff", 0.075, 0.045),
    "black": Inks("#ffffff", "#000000", "#000000", "#ffffff", "#000000", "#000000", None, 0.13, 0.035),
}


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 … 1: the Y of CIE XYZ. Source: IEC 61966-2-1:1999."""
    linear = linear_from_srgb(codes_from_hex(colour) / np.float64(255))
    return float(sum(weight * part for weight, part in zip(SRGB_TO_XYZ[1].tolist(), linear.tolist(), strict=True)))


def outline_of(colour: str, part: float) -> str:
    """Return the outline of a bead: its colour with a part of black stirred in, or of white where it is too dark."""
    return mix(colour, DARK if luminance(colour) > DARKEST_WITH_DARK_OUTLINE else LIGHT, part)


def choose_ink(colour: str) -> str:
    """Return black or white, whichever stands out more from a colour.

    The contrast of two luminances is (L1 + 0.05) / (L2 + 0.05), lighter over darker. Source: W3C,
    Web Content Accessibility Guidelines 2.2, "contrast ratio".
    """
    own = luminance(colour) + 0.05
    return DARK if own / 0.05 >= 1.05 / own else LIGHT


def mix(colour: str, other: str, part: float) -> str:
    """Return a colour with a part (0 … 1) of another stirred in, code by code."""
    codes = codes_from_hex(colour) * (1 - part) + codes_from_hex(other) * np.float64(part)
    return hex_from_codes(np.rint(codes).astype(np.uint8))
