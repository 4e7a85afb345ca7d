"""TOML text as values, whatever is in it."""

import tomllib
from typing import Any

from shared.errors import BadFileError

_LARGEST_INT = 10**9


def toml_values(text: str, *, source: str, remedy: str) -> dict[str, Any]:
    """Read TOML.

    Parameters
    ----------
    text
        What is to be read.
    source
        What it is called in errors.
    remedy
        How to mend what is no TOML, in a few words.

    Raises
    ------
    BadFileError
        When it is no TOML, or no table that a person would write.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BadFileError(f"is not TOML: {error}; {remedy}", where=[source]) from error
    except RecursionError as error:
        raise BadFileError("has lists within lists without end; take them out", where=[source]) from error
    except ValueError as error:  # thousands of digits, which Python does not turn into a number
        raise BadFileError("holds a number of thousands of digits; give a plain one", where=[source]) from error


def is_number(value: Any) -> bool:
    """Return whether a value is a number that a float can hold: an int may be too large for it."""
    if isinstance(value, int):
        return not isinstance(value, bool) and abs(value) <= _LARGEST_INT
    return isinstance(value, float)
