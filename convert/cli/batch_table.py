"""The table of a batch: a picture in each row, with options that are read as the command line reads them."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from convert.chart.choices import Ink
from convert.cli.options import SHARED, choices_from, file_options
from convert.files import is_there, read_bytes
from convert.options import Options
from shared.errors import BadChoiceError, HummockError

if TYPE_CHECKING:
    from convert.batch.entries import Entry
    from palettes.formats.table import Row

_OWN = ("picture", "heights", "name")
_ALTERNATIVES = (("columns", "width"), ("rows", "length"))
"""Where a row gives one of these, the other of the command line gives way."""

_YES, _NO = ("yes", "true", "1", "x"), ("no", "false", "0", "")


def read_batch_table(
    table: Path, context: typer.Context, ink: Ink, *, surface: bool, taken: Sequence[str]
) -> "tuple[list[Entry], list[Path]]":
    """Return what a table says is to be made, and the files that its rows name for options of their own.

    Paths in it are seen from the folder that it lies in. ``context`` is that of the command, with what its command
    line said; ``ink`` and ``surface`` are those of all pictures; no folder of a picture may have a name of ``taken``.

    Raises
    ------
    HummockError
        With all mistakes at once.
    """
    from convert.batch.entries import Entry, check_names, different_names

    folder = table.parent
    parts = _rows_with_options(table, context)
    paths = [folder / row.text("picture") for row, _ in parts]
    names = [row.text("name") or name for (row, _), name in zip(parts, different_names(paths), strict=True)]
    check_names(names, taken)
    maps = [folder / row.text("heights") if row.text("heights") else None for row, _ in parts]
    lines = zip(names, paths, maps, parts, strict=True)
    entries = [Entry(name, path, heights, options, ink, surface) for name, path, heights, (_, options) in lines]
    return entries, [folder / row.text(name) for row, _ in parts for name in file_options(Options) if row.text(name)]


def _rows_with_options(table: Path, context: typer.Context) -> "list[tuple[Row, Options]]":
    from palettes.formats.read import LARGEST_MEGABYTES, decode_text
    from palettes.formats.table import Mistakes, read_table

    mistakes = Mistakes()
    try:
        text = decode_text(read_bytes(table, megabytes=LARGEST_MEGABYTES))
    except HummockError as error:
        raise type(error)(error.message, where=error.where or [str(table)]) from error
    found = read_table(text, {name.rstrip("_"): name for name in (*_OWN, *SHARED)} | {"colors": "colours"}, mistakes)
    if "picture" not in found.columns:
        mistakes.add(found.line, "no column is called picture; name the columns in the first line")
    for notice in found.notices:
        mistakes.add(found.line, f"{notice}; columns are picture, heights, name, and long options of convert")
    parts = []
    for row in found.rows:
        cells = {name: text for name, text in row.cells.items() if name not in _OWN}
        options = mistakes.try_to(row.line, lambda cells=cells: _options_of_row(context, cells, table.parent))  # type: ignore[misc]
        if not row.text("picture"):
            mistakes.add(row.line, "names no picture; fill the column picture")
        elif options is not None:
            parts.append((row, options))
    mistakes.raise_if_any(str(table))
    if not parts:
        raise BadChoiceError(f"{table} names no picture; add a line for each under the header")
    return parts


def _options_of_row(context: typer.Context, cells: dict[str, str], folder: Path) -> Options:
    """Return the options of one picture: those of the command line, and over them what its row says.

    Empty cells say nothing, and several words of one option are parted by ``;``.
    """
    given = {name: _seen_from(folder, name, words) for name, words in cells.items() if words}
    chosen = {name: context.params[name] for name in SHARED}
    for pair in _ALTERNATIVES:
        for own, other in (pair, pair[::-1]):
            if own in given and other not in given:
                chosen[other] = None
    return choices_from(Options, chosen | _read(context, given))


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
