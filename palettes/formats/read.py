"""A palette file of any kind that is known, as a palette."""

import codecs
from collections.abc import Mapping
from dataclasses import replace
from pathlib import PurePath

from palettes.colour import Lab
from palettes.formats.csv_table import parse_csv
from palettes.formats.gimp import MAGIC, parse_gpl
from palettes.formats.table import Assumed
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
    assumed = Assumed()
    try:
        text = decode_text(data, assumed)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error
    if not text.strip():
        raise BadFileError("is empty; give a table with the columns name, colour, size", where=[source])
    name = _name_from(source)
    if text.startswith(MAGIC):
        palette = parse_gpl(text, name, source=source)
    else:
        palette = parse_csv(text, name, source=source, flat=flat, colours=colours)
    return replace(palette, notices=(*assumed.notices(), *palette.notices))


def _name_from(source: str) -> str:
    stem = " ".join(PurePath(source).stem.split())
    return "".join(letter for letter in stem if letter.isprintable()).strip() or "palette"


def decode_text(data: bytes, assumed: Assumed | None = None) -> str:
    """Decode UTF-8, or UTF-16 and UTF-32 that say so by a byte order mark, which is dropped.

    Parameters
    ----------
    data
        The whole file.
    assumed
        Takes it down where the encoding is guessed: UTF-16 without a mark, by its null bytes, else Windows' superset of
        Latin-1. None where nothing may be guessed.

    Raises
    ------
    BadFileError
        When it is anything else; the message says what, where that can be told.
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
    try:
        text = data.decode(encoding)
        if "\0" in text and assumed is not None:
            text = _guess_utf16(data, assumed)
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        if encoding != "utf-8-sig" or assumed is None:
            name = encoding.removesuffix("-sig").upper()
            raise BadFileError(f"is not {name}: line {line} has a character in another encoding; {_REMEDY}") from error
        text = _guess_latin(data, line, assumed)
    if "\0" in text:
        raise BadFileError(f"holds null characters, as binary files do; {_REMEDY}")
    return text


def _guess_utf16(data: bytes, assumed: Assumed) -> str:
    """Decode UTF-16 without a mark: every other byte of its Latin letters is null. Else the text with its nulls."""
    for first, encoding in ((0, "utf-16-be"), (1, "utf-16-le")):
        if data[first::2].count(0) > len(data) // 3 and not data[1 - first :: 2].count(0):
            assumed.add(1, "the file is taken for UTF-16 text")
            return data.decode(encoding)
    return data.decode("latin-1")


def _guess_latin(data: bytes, line: int, assumed: Assumed) -> str:
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as error:
        raise BadFileError(f"is not UTF-8: line {line} has a character in another encoding; {_REMEDY}") from error
    seen = "".join(letter for letter in text.splitlines()[line - 1] if letter.isprintable())[:60]
    assumed.add(line, f"the file is not UTF-8 and taken for Latin-1; if '{seen}' reads wrong, {_REMEDY}")
    return text
