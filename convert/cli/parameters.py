"""How the words of an option become values; the only place where our errors become those of the option reader.

What reads palettes and other files is imported when it is needed.
"""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args

import typer

from convert.colouring.choices import Given
from convert.files import MOST_WORDS_MEGABYTES, is_there, read_bytes, read_text
from convert.layout.choices import Crop
from convert.shopping.wrists import parse_wrist_mm
from shared.beads import BeadSizes, parse_bead_sizes
from shared.errors import BadChoiceError, HummockError
from shared.units import parse_length_mm

if TYPE_CHECKING:
    from convert.documents.booklet.choices import Studio
    from convert.shopping.packs import ChosenPack
    from palettes.colour import Colour
    from palettes.palette import Palette

Value = TypeVar("Value")


def said(parse: Callable[[str], Value]) -> Callable[[str | Value], Value]:
    """Adapt a reader of words to an option: a default passes unchanged, an error names the option."""

    def read(words: str | Value) -> Value:
        if not isinstance(words, str):
            return words
        try:
            return parse(words)
        except HummockError as error:
            raise typer.BadParameter(str(error)) from error

    return read


def one_of(words: Any) -> dict[str, Any]:
    """Return what an option needs that takes one of the words of a ``Literal``."""
    allowed: tuple[str, ...] = get_args(words)

    def parse(word: str) -> str:
        if word not in allowed:
            raise BadChoiceError(f"'{word}' is not among {', '.join(allowed)}; take one of them")
        return word

    return {"parser": said(parse), "metavar": "|".join(allowed)}


def parse_thresholds(words: str) -> tuple[float, ...]:
    """Read heights such as ``0.25,0.5,0.75`` or ``25%,50%,75%``."""
    try:
        parts = [part.strip() for part in words.split(",")]
        return tuple(float(p[:-1]) / 100 if p.endswith("%") else float(p) for p in parts)
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no list of heights; write it like 0.25,0.5,0.75") from error


def parse_crop(words: str) -> Crop:
    """Read a box such as ``10,20,300,800`` in pixels or ``5%,0%,90%,100%``: left, top, width, height."""
    parts = [part.strip() for part in words.split(",")]
    percent = all(part.endswith("%") for part in parts)
    try:
        left, top, width, height = (float(part.removesuffix("%") if percent else part) for part in parts)
    except ValueError as error:
        raise BadChoiceError(
            f"'{words}' is no box; write left,top,width,height, all in pixels (10,20,300,800) or all in per cent"
        ) from error
    if not all(abs(value) < float("inf") for value in (left, top, width, height)):
        raise BadChoiceError(f"'{words}' holds a number without end; give plain numbers")
    return Crop(left, top, width, height, percent)


def named_path(words: str) -> Path:
    """Return a folder or file by its name; an empty name, as an unset variable gives, is refused."""
    if not words.strip():
        raise BadChoiceError("an empty name is no place; give one, or leave it out")
    return Path(words)


def parse_count(words: str, *, zero: bool = False) -> int:
    """Read a whole number above zero such as ``25``, or zero itself where that is allowed."""
    text = words.strip()
    if not (text.isascii() and text.isdigit() and len(text) < 10 and (zero or int(text) > 0)):
        raise BadChoiceError(f"'{words}' is no whole number{'' if zero else ' above zero'}; write it like 25")
    return int(text)


def parse_drop(words: str) -> int:
    """Read how many beads the needle takes in a stitch, 1 or 2."""
    drops = {"1": 1, "2": 2}
    if words.strip() not in drops:
        raise BadChoiceError(f"'{words}' is no drop; give 1, or 2 for two-drop")
    return drops[words.strip()]


def parse_count_or_auto(words: str) -> int | Literal["auto"]:
    """Read a whole number above zero, or ``auto``."""
    if words.strip() == "auto":
        return "auto"
    try:
        return parse_count(words)
    except BadChoiceError as error:
        raise BadChoiceError(f"{error}, or auto") from error


def parse_percent(words: str) -> float:
    """Read a number of per cent such as ``10`` or ``7.5%``."""
    return _number(words.strip().removesuffix("%"), f"'{words}' is no number of per cent; write it like 10")


def parse_strength(words: str) -> float:
    """Read a strength such as ``1`` or ``0.5``."""
    return _number(words, f"'{words}' is no strength; give a number from 0 to 3")


def _number(words: str, message: str) -> float:
    try:
        return float(words)
    except ValueError as error:
        raise BadChoiceError(message) from error


def parse_pixels(words: str) -> int:
    """Read a number of pixels such as ``300000000`` or ``300M``."""
    text = words.strip().upper()
    factor = 1_000_000 if text.endswith("M") else 1
    try:
        count = int(text.removesuffix("M")) * factor
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no number of pixels; write it like 300M") from error
    if count < 1:
        raise BadChoiceError("the limit must be above zero; write it like 300M")
    return count


def read_measures(path: Path) -> BeadSizes:
    """Read a file of bead measures; errors as in `shared.beads.parse_bead_sizes`."""
    return parse_bead_sizes(read_text(path, megabytes=MOST_WORDS_MEGABYTES), source=str(path))


def read_studio(path: Path) -> "Studio":
    """Read a studio file; errors as in `convert.documents.booklet.choices.parse_studio`."""
    from convert.documents.booklet.choices import parse_studio

    return parse_studio(read_text(path, megabytes=MOST_WORDS_MEGABYTES), source=str(path))


def parse_chosen_pack(words: str) -> "ChosenPack":
    """Read the weight of a pack; errors as in `convert.shopping.packs.parse_pack`."""
    from convert.shopping.packs import parse_pack

    return parse_pack(words)


def palette_named(words: str) -> "Palette":
    """Return the palette of a file, or one that comes with Hummock."""
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


LENGTH: dict[str, Any] = {"parser": said(parse_length_mm), "metavar": "LENGTH"}
WRIST: dict[str, Any] = {"parser": said(parse_wrist_mm), "metavar": "LENGTH"}
COUNT: dict[str, Any] = {"parser": said(parse_count), "metavar": "NUMBER"}
"""What an option needs that takes one of these."""
