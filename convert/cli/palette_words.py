"""Palettes and their colours as people name them on the command line; what reads them is imported when it is needed."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from convert.colouring.choices import Given
from convert.files import is_there, read_bytes
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from palettes.colour import Colour
    from palettes.palette import Palette


def palette_named(words: str) -> "Palette":
    """Return the palette of a file, or one that comes with Hummock.

    Raises
    ------
    HummockError
        When there is neither, or the file cannot be read.
    """
    from palettes.bundled import NAMES, load
    from palettes.formats.read import LARGEST_MEGABYTES, read_palette

    path = Path(words)
    if words in NAMES and not is_there(path):
        return load(words)
    if not is_there(path) and not path.suffix:
        raise BadChoiceError(f"'{words}' is no file, and none of the palettes that come along: {', '.join(NAMES)}")
    palette = read_palette(read_bytes(path, megabytes=LARGEST_MEGABYTES), str(path))
    return replace(palette, notices=tuple(f"{path.name}: {notice}" for notice in palette.notices))


def given_colour(words: str) -> Given:
    """Read a colour to keep: ``ink=#20242a``, ``#20242a``, or the name of one of the palette."""
    from shared.colour import codes_from_hex, hex_from_codes

    name, equals, colour = words.rpartition("=")
    if equals and not name.strip():
        raise BadChoiceError(f"'{words}' has no name before the =; write name=#rrggbb, or #rrggbb alone")
    if equals or colour.startswith("#"):
        return Given(" ".join(name.split()), hex_from_codes(codes_from_hex(colour)))
    return Given(words)


def ground_colour(words: str, palette: "Palette | None") -> str:
    """Return a ground as ``#rrggbb``, given so or by its name in the palette."""
    from shared.colour import codes_from_hex, hex_from_codes

    if palette is not None and not words.startswith("#"):
        return palette.find(words).srgb
    return hex_from_codes(codes_from_hex(words))


def colour_named(words: str, palette: "Palette | None") -> "Colour":
    """Return the colour that a name in the palette, or ``#rrggbb``, stands for; the latter in every size."""
    import numpy as np

    from palettes.colour import Supply, colour_from_hex
    from palettes.colour_names import describe
    from palettes.sizes import EVERY_SIZE
    from shared.colour import codes_from_hex

    if palette is not None and not words.startswith("#"):
        return palette.find(words)
    name = describe(np.array([codes_from_hex(words)]))[0]
    return colour_from_hex(name, words.lower(), (Supply(EVERY_SIZE),))
