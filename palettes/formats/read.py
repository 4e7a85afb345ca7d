"""A palette file of any kind that is known, as a palette."""

from pathlib import PurePath

from palettes.formats.encoding import decoded
from palettes.formats.gimp import MAGIC, parse_gpl
from palettes.formats.read_csv import Read, parse_csv
from shared.errors import BadFileError


def read_palette(data: bytes, source: str) -> Read:
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
        text = decoded(data)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error
    if not text.strip():
        raise BadFileError("is empty; give a table with the columns name, colour, size", where=[source])
    parse = parse_gpl if text.startswith(MAGIC) else parse_csv
    return parse(text, _name_from(source), source=source)


def _name_from(source: str) -> str:
    stem = " ".join(PurePath(source).stem.split())
    return "".join(letter for letter in stem if letter.isprintable()).strip() or "palette"
