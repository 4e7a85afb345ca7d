"""What a designer says of herself, from a small TOML file; nothing is invented."""

from dataclasses import dataclass
from typing import Any

from shared.design import check_line
from shared.errors import BadFileError
from shared.toml_text import toml_values

KEYS = ("name", "contact", "terms")
LONGEST_TEXT = 4000


@dataclass(frozen=True)
class Studio:
    """The designer in her own words.

    Parameters
    ----------
    name
        Her name, one line; empty when she gives none.
    contact
        Where she can be reached, a line each.
    terms
        What buyers may do, a paragraph each.
    """

    name: str = ""
    contact: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()


def parse_studio(text: str, *, source: str = "the studio file") -> Studio:
    """Read a studio file.

    Parameters
    ----------
    text
        TOML with any of ``name`` (a line), ``contact`` and ``terms`` (a text, or a list of them).

    Raises
    ------
    BadFileError
        When it is no TOML, has other keys, or a value is no text.
    """
    values = toml_values(text, source=source, remedy='write lines like name = "…"')
    try:
        return _studio(values)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error


def _studio(values: dict[str, Any]) -> Studio:
    unknown = [key for key in values if key not in KEYS]
    if unknown:
        named = ", ".join(f"'{key}'" for key in unknown)
        raise BadFileError(f"{named} cannot be used; a studio file has {', '.join(KEYS[:-1])} and {KEYS[-1]} only")
    if not values:
        raise BadFileError(f"says nothing; give any of {', '.join(KEYS)}")
    name = values.get("name", "")
    if "name" in values:
        if not isinstance(name, str):
            raise BadFileError('name must be one line of text; write name = "…"')
        check_line(name, "name")
    return Studio(name, _texts(values, "contact", parted_by="\n"), _texts(values, "terms", parted_by="\n\n"))


def _texts(values: dict[str, Any], key: str, *, parted_by: str) -> tuple[str, ...]:
    """Return a text or a list of texts in pieces; line ends within a piece are blanks."""
    if key not in values:
        return ()
    given = values[key] if isinstance(values[key], list) else [values[key]]
    if not given or not all(isinstance(one, str) for one in given):
        raise BadFileError(f'{key} must be a text or a list of texts; write {key} = ["…", "…"]')
    pieces = [" ".join(piece.split()) for one in given for piece in one.replace("\r\n", "\n").split(parted_by)]
    kept = tuple(piece for piece in pieces if piece)
    if not kept:
        raise BadFileError(f"{key} is empty; give it a text, or leave it out")
    if not all(piece.isprintable() for piece in kept):
        raise BadFileError(f"{key} holds a control character; give plain text")
    if sum(map(len, kept)) > LONGEST_TEXT:
        raise BadFileError(f"{key} is over {LONGEST_TEXT:,} characters long; give less")
    return kept
