"""A palette or stash from CSV: lines of one colour in some sizes, merged by name."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from palettes.colour import Colour, Lab, Supply, check_words, colour_from_lab
from palettes.formats.cells import KNOWN, lab_of, number_of
from palettes.formats.mistakes import Mistakes
from palettes.formats.table import Row, Table, read_table
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE, parse_sizes, short_size
from shared.errors import BadFileError

_FIGURES = ("grams", "pack_grams", "price")


class Read(NamedTuple):
    """A palette, and what a person should know of how it was read."""

    palette: Palette
    """The palette."""
    notices: tuple[str, ...]
    """One sentence each."""


class _Line(NamedTuple):
    line: int
    name: str
    lab: Lab
    finish: str
    supplies: tuple[Supply, ...]


def parse_csv(text: str, name: str, *, source: str = "the palette") -> Read:
    """Read a palette from a table.

    Parameters
    ----------
    text
        Columns ``name``, ``size`` and either ``colour`` (``#rrggbb``) or ``L``, ``a``, ``b``; optional ``code``,
        ``finish``, ``grams`` (at hand), ``pack_grams``, ``price`` (of a pack). What stands on a line holds for
        each size that it lists; lines of one name are one colour in several sizes.
    name
        What the palette is to be called.
    source
        What the text is called in errors.

    Raises
    ------
    MistakesError
        With every mistake, each with its line.
    BadFileError
        When there is nothing under the header.
    """
    mistakes = Mistakes()
    table = read_table(text, KNOWN, mistakes)
    if _columns_are_missing(table, mistakes):
        mistakes.raise_if_any(source)
    comma = table.separator != ","
    lines = [line for row in table.rows if (line := _line_of(row, mistakes, decimal_comma=comma))]
    entries = _merged(lines, mistakes)
    mistakes.raise_if_any(source)
    if not entries:
        raise BadFileError("holds no colour; add a line for each under the header", where=[source])
    return Read(Palette(name, entries), (*table.notices, *_shared_grams(lines)))


def _columns_are_missing(table: Table, mistakes: Mistakes) -> bool:
    missing = [column for column in ("name", "size") if column not in table.columns]
    for column in missing:
        mistakes.add(
            table.line, f"no column is called {column}; name the columns in the first line: name, colour, size"
        )
    lab = [column for column in "Lab" if column in table.columns]
    if not ("colour" in table.columns or lab):
        mistakes.add(table.line, "no column is called colour; add it (#rrggbb), or three columns L, a, b")
    elif lab and len(lab) < len("Lab"):
        mistakes.add(table.line, f"of the columns L, a, b there is only {' and '.join(lab)}; give all three or none")
    else:
        return bool(missing)
    return True


def _line_of(row: Row, mistakes: Mistakes, *, decimal_comma: bool) -> _Line | None:
    """Read every cell of a row, so that all that is wrong in it is told."""
    before = len(mistakes.found)
    name = mistakes.taken(row.line, lambda: _words(row, "name"))
    lab = mistakes.taken(row.line, lambda: lab_of(row, decimal_comma=decimal_comma))
    sizes = mistakes.taken(row.line, lambda: parse_sizes(row.text("size")))
    code = mistakes.taken(row.line, lambda: _words(row, "code", needed=False))
    finish = mistakes.taken(row.line, lambda: _words(row, "finish", needed=False))
    figures = [_figure(row, column, mistakes, decimal_comma=decimal_comma) for column in _FIGURES]
    if name is None or lab is None or sizes is None or code is None or finish is None or len(mistakes.found) > before:
        return None
    supplies = mistakes.taken(row.line, lambda: tuple(Supply(size, code, *figures) for size in sizes))
    return None if supplies is None else _Line(row.line, name, lab, finish, supplies)


def _words(row: Row, column: str, *, needed: bool = True) -> str:
    words = " ".join(row.text(column).split())
    if not words and needed:
        raise BadFileError(f"there is no {column}; write some words")
    if words:
        check_words(words, f"the {column}")
    return words


def _figure(row: Row, column: str, mistakes: Mistakes, *, decimal_comma: bool) -> float | None:
    text = row.text(column)
    if not text:
        return None
    return mistakes.taken(row.line, lambda: _named_number(column, text, decimal_comma=decimal_comma))


def _named_number(column: str, text: str, *, decimal_comma: bool) -> float:
    try:
        number = number_of(text, decimal_comma=decimal_comma)
    except BadFileError as error:
        raise BadFileError(error.message, where=[column]) from error
    figure: dict[str, Any] = {column: number}
    Supply(EVERY_SIZE, **figure)  # refuses what cannot be meant, whatever is wrong beside it
    return number


def _merged(lines: list[_Line], mistakes: Mistakes) -> tuple[Colour, ...]:
    """Make one colour of the lines of each name."""
    by_name: dict[str, list[_Line]] = {}
    for line in lines:
        earlier = by_name.setdefault(folded(line.name), [])
        problem = _conflict(earlier, line)
        if problem:
            mistakes.add(line.line, problem)
        else:
            earlier.append(line)
    return tuple(_colour_of(of_one_name) for of_one_name in by_name.values() if of_one_name)


def _conflict(earlier: list[_Line], line: _Line) -> str:
    """Say what keeps a line from being the same colour in more sizes; empty when nothing does."""
    for other in earlier:
        if other.lab != line.lab:
            return f"{line.name} has another colour on line {other.line}; give one of them another name"
        if other.finish and line.finish and other.finish != line.finish:
            return f"{line.name} is {other.finish} on line {other.line}; give one of them another name"
        for size in {supply.size for supply in other.supplies} & {supply.size for supply in line.supplies}:
            return f"{line.name} in {size} is on line {other.line} already; keep one of the two"
    return ""


def _colour_of(lines: list[_Line]) -> Colour:
    supplies = tuple(supply for line in lines for supply in line.supplies)
    finish = next((line.finish for line in lines if line.finish), "")
    return colour_from_lab(lines[0].name, lines[0].lab, supplies, finish=finish)


def _shared_grams(lines: Iterable[_Line]) -> tuple[str, ...]:
    """Say where one weight at hand was taken for each of several sizes."""
    return tuple(
        f"line {line.line}: {line.supplies[0].grams:g} g of {line.name} are taken to be at hand in each of the sizes "
        f"{' '.join(short_size(supply.size) for supply in line.supplies)}; give each size its line if they are not"
        for line in lines
        if len(line.supplies) > 1 and line.supplies[0].grams
    )
