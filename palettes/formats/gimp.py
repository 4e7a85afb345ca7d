"""GIMP palettes (.gpl, the second version of the format: a name and comments before the colours)."""

import re
from functools import partial
from typing import NamedTuple

import numpy as np

from palettes.colour import Colour, Supply, colour_from_hex
from palettes.colour_names import describe, numbered
from palettes.formats.table import Mistakes
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE
from shared.colour import codes_from_hex
from shared.errors import BadFileError

MAGIC = "GIMP Palette"

_FIELD = re.compile(r"(?P<field>Name|Columns|Channels)\s*:(?P<value>.*)", re.IGNORECASE)
_COLOUR = re.compile(r"(?P<codes>\d{1,9}\s+\d{1,9}\s+\d{1,9})(\s+(?P<name>.*))?", re.ASCII)
_LINE_END = re.compile(r"\r\n|\r|\n")
_NAMELESS = {"", "untitled"}
_BRIGHTEST = 255


class _Swatch(NamedTuple):
    srgb: str
    name: str


def parse_gpl(text: str, name: str, *, source: str = "the palette") -> Palette:
    """Read a GIMP palette; each colour is taken to exist in every size.

    Parameters
    ----------
    text
        First ``GIMP Palette``, then perhaps ``Name:`` and ``Columns:``, comments after ``#``, and a line of red,
        green, blue (0 … 255) and a name for each colour.
    name
        What the palette is to be called when it does not say so itself.
    source
        What the text is called in errors.

    Returns
    -------
    Palette
        Colours without a name are described by one, names that come again are numbered, and colours that come again
        under the same name are left out; the notices say so.

    Raises
    ------
    MistakesError
        With every mistake, each with its line.
    BadFileError
        When there is no colour.
    """
    lines = _LINE_END.split(text)
    mistakes = Mistakes()
    if lines[0].strip() != MAGIC:
        mistakes.add(1, f"does not begin with '{MAGIC}'; give a .gpl file or a table with names of columns")
    swatches = [
        swatch
        for place, line in enumerate(lines[1:], start=2)
        if _holds_colour(line) and (swatch := mistakes.try_to(place, partial(_swatch, line.strip())))
    ]
    mistakes.raise_if_any(source)
    if not swatches:
        raise BadFileError("holds no colour; add a line like 47 74 90 slate for each", where=[source])
    return Palette(_own_name(lines) or name, *_entries(swatches))


def _holds_colour(line: str) -> bool:
    return bool(line.strip()) and not line.startswith("#") and _FIELD.fullmatch(line.strip()) is None


def _swatch(line: str) -> _Swatch:
    found = _COLOUR.fullmatch(line)
    if found is None:
        raise BadFileError(
            f"'{line[:30]}' is no colour; write red, green, blue (0 to 255) and a name, with blanks between"
        )
    codes = [int(digits) for digits in found["codes"].split()]
    if max(codes) > _BRIGHTEST:
        raise BadFileError(f"{max(codes)} is over 255; write red, green, blue from 0 to 255")
    name = " ".join((found["name"] or "").split())
    if not name.isprintable():
        raise BadFileError(f"the name {name[:30]!r} holds control characters; take them out")
    return _Swatch("#" + bytes(codes).hex(), "" if folded(name) in _NAMELESS else name)


def _own_name(lines: list[str]) -> str:
    """Return the palette's own name; empty when it has none or it is no plain line."""
    for line in lines:
        found = _FIELD.fullmatch(line.strip())
        if found and found["field"].casefold() == "name":
            name = " ".join(found["value"].split())
            return name if name.isprintable() else ""
    return ""


def _entries(swatches: list[_Swatch]) -> tuple[tuple[Colour, ...], tuple[str, ...]]:
    different = list(dict.fromkeys(swatches))
    names = _unique_names(different)
    entries = tuple(
        colour_from_hex(name, swatch.srgb, (Supply(EVERY_SIZE),)) for swatch, name in zip(different, names, strict=True)
    )
    nameless = sum(not swatch.name for swatch in different)
    numbered = sum(bool(s.name) and folded(s.name) != folded(name) for s, name in zip(different, names, strict=True))
    told = (
        (len(swatches) - len(different), "that came again under the same name left out"),
        (nameless, "without a name described by one"),
        (numbered, "whose name came again numbered"),
    )
    return entries, tuple(f"{times} colour{'s' if times > 1 else ''} {what}" for times, what in told if times)


def _unique_names(swatches: list[_Swatch]) -> tuple[str, ...]:
    """Describe the nameless, and number what comes again."""
    nameless = [codes_from_hex(swatch.srgb) for swatch in swatches if not swatch.name]
    described = iter(describe(np.array(nameless, dtype=np.uint8).reshape(-1, 3)))
    return numbered(swatch.name or next(described) for swatch in swatches)
