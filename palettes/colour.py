"""One colour that can be bought: its name, its place in CIELAB, and the sizes in which it is made."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.colour import codes_from_hex, codes_from_linear, hex_from_codes, lab_from_codes, linear_from_lab
from shared.design import check_line
from shared.errors import BadFileError

LARGEST = 1_000_000
"""No weight in grams and no price reaches this; a larger figure is a slip of the unit."""

Lab = tuple[float, float, float]

LAB_DECIMALS = 4

_WIDEST = 200.0
_REMEMBERED = 4096


@dataclass(frozen=True, slots=True)
class Supply:
    """A colour in one size: how it is sold, and how much of it is at hand.

    Parameters
    ----------
    size
        Full name of a size, or `palettes.sizes.EVERY_SIZE`.
    code
        What the shop calls it; empty where unknown.
    grams
        At hand; None where nothing is known of it.
    pack_grams
        What one pack weighs, in grams; None where unknown.
    price
        Of one pack, in the user's own money; None where unknown.

    Raises
    ------
    BadFileError
        When a figure cannot be meant.
    """

    size: str
    code: str = ""
    grams: float | None = None
    pack_grams: float | None = None
    price: float | None = None

    def __post_init__(self) -> None:
        if parse_sizes(self.size) != (self.size,):
            raise BadFileError(f"'{self.size}' is not one full name of a size, like round 8/0")
        if self.code:
            check_words(self.code, "a code")
        for figure, what in ((self.grams, "grams"), (self.pack_grams, "pack_grams"), (self.price, "price")):
            if figure is not None and not 0 <= figure < LARGEST:
                raise BadFileError(f"{what} is {figure:g}; give 0 to {LARGEST:,}")
        if self.pack_grams == 0:
            raise BadFileError("pack_grams is 0; give the weight of a full pack, or leave it empty")


@dataclass(frozen=True, slots=True)
class Colour:
    """One colour of a palette; made by `colour_from_hex` or `colour_from_lab`.

    Parameters
    ----------
    name
        One line of words, single blanks between them.
    srgb
        ``#rrggbb``: what ``lab`` shows on a screen, clipped to what a screen can show.
    lab
        CIELAB (D65, 2° observer), rounded to four decimals.
    supplies
        One for each size in which it is made, each size once.
    finish
        Such as ``opaque`` or ``matte``; empty where unknown.

    Raises
    ------
    BadFileError
        When the parts do not fit together.
    """

    name: str
    srgb: str
    lab: Lab
    supplies: tuple[Supply, ...]
    finish: str = ""

    def __post_init__(self) -> None:
        check_words(self.name, "a colour's name")
        if self.finish:
            check_words(self.finish, f"the finish of {self.name}")
        check_lab(self.lab)
        if self.srgb != srgb_of_lab(self.lab):
            raise BadFileError(f"{self.name} has a Lab that is not {self.srgb}; make it from one of the two")
        if not self.supplies:
            raise BadFileError(f"{self.name} is made in no size; give at least one")
        if len(set(self.sizes)) < len(self.supplies):
            raise BadFileError(f"{self.name} has a size twice; give each once")

    @property
    def sizes(self) -> tuple[str, ...]:
        """Full names of the sizes, or `palettes.sizes.EVERY_SIZE`."""
        return tuple(supply.size for supply in self.supplies)

    def supply(self, size: str) -> Supply | None:
        """Return how it is sold in a size (full name); None where it is not made in it."""
        by_size = {supply.size: supply for supply in self.supplies}
        return by_size.get(size, by_size.get(EVERY_SIZE))

    def is_made_in(self, size: str) -> bool:
        """Return whether it is made in a size (full name)."""
        return self.supply(size) is not None


def colour_from_hex(name: str, srgb: str, supplies: tuple[Supply, ...], *, finish: str = "") -> Colour:
    """Make a colour of ``#rrggbb``.

    Raises
    ------
    BadChoiceError
        When it is no colour.
    BadFileError
        As `Colour`.
    """
    return colour_from_lab(name, lab_of_srgb(srgb), supplies, finish=finish)


def colour_from_lab(name: str, lab: Lab, supplies: tuple[Supply, ...], *, finish: str = "") -> Colour:
    """Make a colour of CIELAB, which may lie outside sRGB.

    Raises
    ------
    BadFileError
        When it is no colour, and as `Colour`.
    """
    check_lab(lab)
    kept = _rounded(lab)
    return Colour(name, srgb_of_lab(kept), kept, supplies, finish)


@lru_cache(maxsize=_REMEMBERED)
def lab_of_srgb(srgb: str) -> Lab:
    """Return CIELAB of ``#rrggbb``, rounded to four decimals.

    Raises
    ------
    BadChoiceError
        When it is no colour.
    """
    return _rounded(lab_from_codes(codes_from_hex(srgb)).tolist())


@lru_cache(maxsize=_REMEMBERED)
def srgb_of_lab(lab: Lab) -> str:
    """Return what CIELAB shows on a screen, as ``#rrggbb``, clipped."""
    return hex_from_codes(codes_from_linear(linear_from_lab(np.array(lab))))


def check_lab(lab: Lab) -> None:
    """Refuse what is no CIELAB colour.

    Raises
    ------
    BadFileError
        Saying which figures can be.
    """
    lightness, a, b = lab
    if not (0 <= lightness <= 100 and math.hypot(a, b) <= _WIDEST):
        shown = ", ".join(f"{value:g}" for value in lab)
        raise BadFileError(f"L, a, b = {shown} is no colour; L goes from 0 to 100, a and b up to about 130 either way")


def check_words(text: str, what: str) -> None:
    """Refuse what is not one line of plain words with single blanks.

    Raises
    ------
    BadFileError
        With ``what`` named.
    """
    check_line(text, what)
    if "  " in text:
        raise BadFileError(f"{what} must have single blanks between words: {text[:60]!r}")


def _rounded(lab: Sequence[float]) -> Lab:
    lightness, a, b = (round(value, LAB_DECIMALS) + 0.0 for value in lab)
    return lightness, a, b
