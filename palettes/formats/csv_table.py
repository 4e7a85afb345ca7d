"""A palette or stash as CSV (RFC 4180): lines of one colour in some sizes, merged by name; read and written."""

import csv
import io
import re
from collections.abc import Iterable
from decimal import Decimal
from itertools import groupby
from typing import Any, NamedTuple

from palettes.colour import Colour, Lab, Supply, check_lab, check_words, colour_from_lab, lab_of_srgb, srgb_of_lab
from palettes.formats.table import CsvTable, Mistakes, Row, read_table
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE, parse_sizes, short_size
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.csv_safe import make_inert
from shared.errors import BadFileError

COLUMNS = ("name", "colour", "L", "a", "b", "size", "code", "finish", "grams", "pack_grams", "price")
"""Every column of a palette file, in the order in which it is written."""

KNOWN = {column.casefold(): column for column in COLUMNS} | {"color": "colour"}
"""Names of columns as `palettes.formats.table.column_name` gives them, and what they are called here."""

_NUMBER = re.compile(r"[-+\u2212]?(\d+([.,]\d*)?|[.,]\d+)")
_SAME_COLOUR = 5.0
"""A hex colour and a Lab of one line may differ by this much (CIEDE2000): few decimals, or outside sRGB."""

_NEEDED = ("name", "colour", "size")
_FIGURES = ("grams", "pack_grams", "price")


class _Line(NamedTuple):
    line: int
    name: str
    lab: Lab
    finish: str
    supplies: tuple[Supply, ...]


def parse_csv(text: str, name: str, *, source: str = "the palette") -> Palette:
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
    entries = _merge_by_name(lines, mistakes)
    mistakes.raise_if_any(source)
    if not entries:
        raise BadFileError("holds no colour; add a line for each under the header", where=[source])
    return Palette(name, entries, (*table.notices, *_shared_grams(lines)))


def _columns_are_missing(table: CsvTable, mistakes: Mistakes) -> bool:
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
    name = mistakes.try_to(row.line, lambda: _words(row, "name"))
    lab = mistakes.try_to(row.line, lambda: lab_of(row, decimal_comma=decimal_comma))
    sizes = mistakes.try_to(row.line, lambda: parse_sizes(row.text("size")))
    code = mistakes.try_to(row.line, lambda: _words(row, "code", needed=False))
    finish = mistakes.try_to(row.line, lambda: _words(row, "finish", needed=False))
    figures = [_figure(row, column, mistakes, decimal_comma=decimal_comma) for column in _FIGURES]
    if name is None or lab is None or sizes is None or code is None or finish is None or len(mistakes.found) > before:
        return None
    supplies = mistakes.try_to(row.line, lambda: tuple(Supply(size, code, *figures) for size in sizes))
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
    return mistakes.try_to(row.line, lambda: _named_number(column, text, decimal_comma=decimal_comma))


def _named_number(column: str, text: str, *, decimal_comma: bool) -> float:
    try:
        number = number_of(text, decimal_comma=decimal_comma)
    except BadFileError as error:
        raise BadFileError(error.message, where=[column]) from error
    figure: dict[str, Any] = {column: number}
    Supply(EVERY_SIZE, **figure)  # refuses what cannot be meant, whatever else is wrong
    return number


def _merge_by_name(lines: list[_Line], mistakes: Mistakes) -> tuple[Colour, ...]:
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


def number_of(text: str, *, decimal_comma: bool) -> float:
    """Read a number such as ``4.5``; ``4,5`` where a comma does not part cells.

    Raises
    ------
    BadFileError
        When it is none.
    """
    if "," in text and not decimal_comma and _NUMBER.fullmatch(text):
        raise BadFileError(
            f"'{text[:20]}' has a comma, which parts cells in this file; write {text.replace(',', '.')[:20]}"
        )
    if _NUMBER.fullmatch(text) is None:
        raise BadFileError(f"'{text[:20]}' is no number; write it like 4.5, without a unit")
    return float(text.replace(",", ".").replace("\u2212", "-"))


def lab_of(row: Row, *, decimal_comma: bool) -> Lab:
    """Read the colour of a row, of its ``colour`` cell, its L, a, b cells, or both; then Lab counts.

    Raises
    ------
    HummockError
        When there is none, it is no colour, or the two are different colours.
    """
    figures = [row.text(column) for column in "Lab"]
    shown = row.text("colour")
    if not any(figures):
        if not shown:
            raise BadFileError("there is no colour; write it as #rrggbb or in columns L, a, b")
        return lab_of_srgb(shown)
    if not all(figures):
        raise BadFileError("of L, a, b some are empty; fill all three, or none and write the colour as #rrggbb")
    lightness, a, b = (number_of(figure, decimal_comma=decimal_comma) for figure in figures)
    check_lab((lightness, a, b))
    if shown and _difference(srgb_of_lab((lightness, a, b)), shown) > _SAME_COLOUR:
        raise BadFileError(f"{shown} and L, a, b are two different colours; leave one of them out")
    return lightness, a, b


def _difference(srgb_1: str, srgb_2: str) -> float:
    return float(ciede2000(lab_from_codes(codes_from_hex(srgb_1)), lab_from_codes(codes_from_hex(srgb_2))))


def palette_csv(palette: Palette) -> str:
    """Write a palette so that `palettes.formats.csv_table.parse_csv` gives it back.

    Cells that a spreadsheet would run as a formula are made inert. Columns that no colour needs are left out; L, a, b
    are written for colours that lie between, or outside, those of 8-bit sRGB.
    """
    lines = [line for entry in palette.entries for line in _lines(entry)]
    used = [column for column in COLUMNS if column in _NEEDED or any(line.get(column) for line in lines)]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(used)
    writer.writerows([line.get(column, "") for column in used] for line in lines)
    return text.getvalue()


def _lines(entry: Colour) -> list[dict[str, str]]:
    """Write neighbouring sizes with the same figures on one line, but each with a line where it has been weighed."""
    groups = groupby(entry.supplies, key=lambda s: (s.code, s.pack_grams, s.price, s.grams, s.size if s.grams else ""))
    return [_line(entry, tuple(group)) for _, group in groups]


def _line(entry: Colour, supplies: tuple[Supply, ...]) -> dict[str, str]:
    first = supplies[0]
    figures = {"grams": first.grams, "pack_grams": first.pack_grams, "price": first.price}
    shown = dict(zip("Lab", entry.lab, strict=True)) if entry.lab != lab_of_srgb(entry.srgb) else {}
    words = {"name": entry.name, "code": first.code, "finish": entry.finish}
    return (
        {column: make_inert(text) for column, text in words.items()}
        | {"colour": entry.srgb, "size": " ".join(short_size(supply.size) for supply in supplies)}
        | {column: _plain(value) for column, value in (shown | figures).items() if value is not None}
    )


def _plain(value: float) -> str:
    """Write a number with every digit and without an exponent; reading it gives the same number."""
    text = format(Decimal(repr(float(value))), "f")
    return text.removesuffix(".0")
