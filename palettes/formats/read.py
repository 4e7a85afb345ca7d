"""A palette file of any kind that is known, as a palette."""

import codecs
from collections.abc import Mapping
from dataclasses import replace
from pathlib import PurePath

from palettes.colour import Lab
from palettes.formats.csv_table import parse_csv
from palettes.formats.gimp import MAGIC, parse_gpl
from palettes.palette import Palette
from shared.errors import BadFileError

LARGEST_MEGABYTES = 8
"""No palette is larger; the file is something else."""

_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),  # before UTF-16, whose mark begins that of UTF-32
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_BINARY = (
    (b"PK\x03\x04", "a spreadsheet file"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet file"),
)
_PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8")
_REMEDY = "save it as UTF-8 text (in a spreadsheet: CSV UTF-8)"


def read_palette(
    data: bytes, source: str, *, flat: str | None = None, colours: Mapping[str, Lab] | None = None
) -> Palette:
    """Read a CSV table or a GIMP palette; what it is follows from what is in it.

    Parameters
    ----------
    data
        The whole file.
    source
        Its name; the palette is called so, without folder and ending, unless the file says its name.
    flat, colours
        What a table may leave out, see `palettes.formats.csv_table.parse_csv`.

    Raises
    ------
    MistakesError
        With every mistake of the file, each with its line.
    BadFileError
        When it is no text or holds no colour.
    """
    guesses: list[str] = []
    try:
        text = decode_text(data, guesses)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error
    if not text.strip():
        raise BadFileError("is empty; give a table with the columns name, colour, size", where=[source])
    name = _name_from(source)
    if text.startswith(MAGIC):
        palette = parse_gpl(text, name, source=source)
    else:
        palette = parse_csv(text, name, source=source, flat=flat, colours=colours)
    return replace(palette, notices=(*guesses, *palette.notices))


def _name_from(source: str) -> str:
    stem = " ".join(PurePath(source).stem.split())
    return "".join(letter for letter in stem if letter.isprintable()).strip() or "palette"


def decode_text(data: bytes, guesses: list[str] | None = None) -> str:
    """Decode UTF-8, or UTF-16 and UTF-32 that say so by a byte order mark, which is dropped.

    Anything else is taken for Windows' superset of Latin-1 where there is a list for that ``guesses``.

    Raises
    ------
    BadFileError
        When it cannot be decoded; the message says what it is, where that can be told.
    """
    if len(data) > LARGEST_MEGABYTES * 1_000_000:
        raise BadFileError(
            f"is larger than {LARGEST_MEGABYTES} MB, which no table or palette needs; give a CSV or .gpl file"
        )
    for beginning, kind in _BINARY:
        if data.startswith(beginning):
            raise BadFileError(f"is {kind}; {_REMEDY}")
    if data.startswith(_PICTURES):
        raise BadFileError("is a picture; give a table, as text")
    encoding = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), "utf-8-sig")
    line = 1
    try:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError as error:
            line = data[: error.start].count(b"\n") + 1
            if guesses is None or encoding != "utf-8-sig":
                raise
            text = data.decode("cp1252")
            seen = "".join(filter(str.isprintable, text.split("\n")[line - 1]))[:60]
            guesses.append(f"line {line}: not UTF-8, so taken for Latin-1; if '{seen}' reads wrong, {_REMEDY}")
    except UnicodeDecodeError as error:
        raise BadFileError(f"is not UTF-8: line {line} has a character in another encoding; {_REMEDY}") from error
    if "\0" in text:
        raise BadFileError(f"holds null characters, as UTF-16 text and binary files do; {_REMEDY}")
    return text
