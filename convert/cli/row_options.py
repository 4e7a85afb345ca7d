"""Options that a table gives for single pictures, read as the command line reads them."""

from pathlib import Path
from typing import Any

import typer

from convert.cli.options import SHARED, options_from
from convert.files import is_there
from convert.options import Options
from shared.errors import BadChoiceError

ALTERNATIVES = (("columns", "width"), ("rows", "length"))
"""Where a row gives one of these, the other of the command line gives way."""

_YES, _NO = ("yes", "true", "1", "x"), ("no", "false", "0", "")


def column_names() -> dict[str, str]:
    """Return the columns of options that a table may have, by the names of `palettes.formats.table.column_name`."""
    return {name.rstrip("_"): name for name in SHARED} | {"colors": "colours"}


def options_of_row(context: typer.Context, cells: dict[str, str], folder: Path) -> Options:
    """Return the options of one picture: those of the command line, and over them what its row says.

    Parameters
    ----------
    context
        Of the command, with what its command line said.
    cells
        Text by option; empty cells say nothing. Several words of one option are parted by ``;``.
    folder
        From which the paths of a palette and bead sizes are seen.

    Raises
    ------
    HummockError
        When a cell cannot be read.
    """
    given = {name: _seen_from(folder, name, words) for name, words in cells.items() if words}
    chosen = {name: context.params[name] for name in SHARED}
    for pair in ALTERNATIVES:
        for own, other in (pair, pair[::-1]):
            if own in given and other not in given:
                chosen[other] = None
    return options_from(chosen | _read(context, given))


def _seen_from(folder: Path, name: str, words: str) -> str:
    """Return the words of an option, with the path of a file as it is seen from a folder."""
    from palettes.bundled import NAMES

    is_palette = name == "palette" and (words not in NAMES or is_there(folder / words))
    return str(folder / words) if is_palette or name == "measures" else words


def _read(context: typer.Context, given: dict[str, str]) -> dict[str, Any]:
    known = {parameter.name: parameter for parameter in context.command.params}
    words = [word for name, text in given.items() for word in _words(known[name], text)]
    try:
        row = context.command.make_context("a row", [*words, "--", "."])
    except typer.BadParameter as error:
        raise BadChoiceError(error.format_message().rstrip(".")) from error
    return {name: row.params[name] for name in given}


def _words(option: Any, text: str) -> list[str]:
    """Write a cell as the command line would say it."""
    flag = option.opts[0]
    if option.is_flag:
        if text.casefold() not in (*_YES, *_NO):
            raise BadChoiceError(f"'{text}' is neither yes nor no; write one of them for {flag}")
        return [flag] if text.casefold() in _YES else []
    parts = text.split(";") if option.multiple else [text]
    return [f"{flag}={part.strip()}" for part in parts if part.strip()]
