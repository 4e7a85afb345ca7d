"""A palette file of any kind that is known, as a palette."""

import codecs
from pathlib import PurePath

from palettes.formats.csv_table import parse_csv
from palettes.formats.gimp import MAGIC, parse_gpl
from palettes.palette import Palette
from shared.errors import BadFileError

LARGEST_MEGABYTES = 8
"""No palette is larger; the file is something else."""

_MARKS = (
    (codecs.BOM_UTF32_LE, "UTF-32"),
    (codecs.BOM_UTF32_BE, "UTF-32"),
    (codecs.BOM_UTF16_LE, "UTF-16"),
    (codecs.BOM_UTF16_BE, "UTF-16"),
)
_BINARY = (
    (b"PK\x03\x04", "a spreadsheet file"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet file"),
)
_PICTURES = (b"\x89PNG", b"\xff\xd8\xff", b"GIF8")
_REMEDY = "save it as UTF-8 text (in a spreadsheet: CSV UTF-8)"


def read_palette(data: bytes, source: str) -> Palette:
    """Read a CSV table or a GIMP palette; what it is follows from what is in it.

    Parameters
    ----------
    data
        The whole file.
    source
        Its name; the palette is called so, without folder and ending, unless the file says its name.

    Raises
    ------
    MistakesError
        With every mistake of the file, each with its line.
    BadFileError
        When it is no UTF-8 text or holds no colour.
    """
    try:
        text = decode_text(data)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error
    if not text.strip():
        raise BadFileError("is empty; give a table with the columns name, colour, size", where=[source])
    parse = parse_gpl if text.startswith(MAGIC) else parse_csv
    return parse(text, _name_from(source), source=source)


def _name_from(source: str) -> str:
    stem = " ".join(PurePath(source).stem.split())
    return "".join(letter for letter in stem if letter.isprintable()).strip() or "palette"


def decode_text(data: bytes) -> str:
    """Decode UTF-8, with or without a byte order mark, which is dropped.

    Raises
    ------
    BadFileError
        When it is anything else; the message says what, where that can be told.
    """
    if len(data) > LARGEST_MEGABYTES * 1_000_000:
        raise BadFileError(
            f"is larger than {LARGEST_MEGABYTES} MB, which no table or palette needs; give a CSV or .gpl file"
        )
    for beginning, kind in (*_MARKS, *_BINARY):
        if data.startswith(beginning):
            raise BadFileError(f"is {kind}{' text' if kind.startswith('UTF') else ''}; {_REMEDY}")
    if data.startswith(_PICTURES):
        raise BadFileError("is a picture; give a table, as text")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise BadFileError(f"is not UTF-8: line {line} has a character in another encoding; {_REMEDY}") from error
    if "\0" in text:
        raise BadFileError(f"holds null characters, as UTF-16 text and binary files do; {_REMEDY}")
    return text
