"""A palette or stash as CSV (RFC 4180): lines of one colour in some sizes, merged by name; read and written."""

import csv
import io
import re
from collections.abc import Collection, Iterable, Mapping
from decimal import Decimal
from functools import partial
from itertools import groupby
from typing import Any, NamedTuple

import numpy as np

from palettes.colour import Colour, Lab, Supply, check_words, colour_from_lab, lab_of_srgb, srgb_of_lab
from palettes.colour_names import describe
from palettes.formats.cells import (
    grams_words,
    is_surely_colour,
    lab_of,
    number_of,
    part_rgb_by_blanks,
    price_words,
)
from palettes.formats.columns import COLUMNS, KNOWN, check_columns, find_header
from palettes.formats.table import CsvTable, Mistakes, Row, read_table
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE, parse_sizes, short_size
from shared.beads import default_bead_sizes
from shared.colour import codes_from_hex
from shared.csv_safe import make_inert
from shared.errors import BadFileError

_NEEDED = ("name", "colour", "size")
_FIGURES = ("grams", "pack_grams", "price")
_DECIMAL_COMMA = re.compile(r"\d,\d")


class _Line(NamedTuple):
    line: int
    name: str
    lab: Lab
    finish: str
    supplies: tuple[Supply, ...]


def parse_csv(
    text: str,
    name: str,
    *,
    source: str = "the palette",
    flat: str | None = None,
    colours: Mapping[str, Lab] | None = None,
) -> Palette:
    """Read a palette from a table.

    Parameters
    ----------
    text
        Columns with a colour (``colour``, ``hex``, ``rgb``, or three: ``R``, ``G``, ``B`` or ``L``, ``a``, ``b``), and
        if one likes ``name``, ``size``, ``code``, ``finish``, ``grams`` (at hand), ``pack_grams``, ``price`` (of a
        pack). What stands on a line holds for each size that it lists; lines of one name are one colour in several
        sizes.
    name
        What the palette is to be called.
    source
        What the text is called in errors.
    flat
        Full name of the size that is meant where none is given; None for the one that Hummock begins with.
    colours
        Those of a design that came from a palette, CIELAB by folded names: a stash may leave colours out then, and its
        lines of other names are passed over. None where each line needs its colour.

    Raises
    ------
    MistakesError
        With every mistake, each with its line.
    BadFileError
        When there is nothing under the header.
    """
    mistakes = Mistakes()
    table = _take_names(read_table(part_rgb_by_blanks(text), KNOWN, mistakes, find_header), mistakes)
    if not mistakes.up_to(table.line):
        check_columns(table.columns, table.line, mistakes, by_name=colours is not None)
    if mistakes.up_to(table.line):
        mistakes.raise_if_any(source)
    figures = [row.text(column) for row in table.rows for column in _FIGURES]
    # Spreadsheets part cells by semicolons where the comma is the decimal mark, and points may part thousands there.
    unsure = "," * (table.separator != ";") + "." * any(_DECIMAL_COMMA.search(figure) for figure in figures)
    reader = _Reader(unsure, flat or default_bead_sizes().flat.name, colours, {}, mistakes)
    lines = _describe_nameless([line for row in table.rows if (line := reader.line(row, table.columns))], mistakes)
    entries = _merge_by_name(lines, mistakes)
    mistakes.raise_if_any(source)
    if not entries and table.rows:
        raise BadFileError("names no colour of this design that came from a palette; add colours", where=[source])
    if not entries:
        raise BadFileError("holds no colour; add a line for each under the header", where=[source])
    return Palette(name, entries, (*table.notices, *mistakes.notices(), *_shared_grams(lines)))


def _take_names(table: CsvTable, mistakes: Mistakes) -> CsvTable:
    """Take words in the column ``colour`` for names where no column is called so and colours stand in others."""
    shown = [row.text("colour") for row in table.rows]
    elsewhere = {"hex", "rgb", "R", "L"} & set(table.columns)
    if "name" in table.columns or not elsewhere or not any(shown) or any(map(is_surely_colour, shown)):
        return table
    mistakes.assume(table.line, "no column is called name; the column colour is taken for it")
    rows = [Row(row.line, row.cells | {"name": row.text("colour"), "colour": ""}) for row in table.rows]
    return table._replace(columns=(*table.columns, "name"), rows=tuple(rows))


class _Reader(NamedTuple):
    """Reads every cell of a row, so that all that is wrong in it is told."""

    unsure: str
    flat: str
    colours: Mapping[str, Lab] | None
    currencies: dict[str, int]
    mistakes: Mistakes

    def line(self, row: Row, columns: Collection[str]) -> _Line | None:
        """Return what a row says; None when it cannot be read or is passed over."""
        before = len(self.mistakes.found)
        attempt = partial(self.mistakes.try_to, row.line)
        name = attempt(lambda: self.name(row, needed="name" in columns))
        lab = attempt(lambda: self.lab(row))
        sizes = attempt(lambda: self.sizes(row))
        code = attempt(lambda: _words(row, "code", needed=False))
        finish = attempt(lambda: _words(row, "finish", needed=False))
        figures = [attempt(lambda column=column: self.figure(row, column)) for column in _FIGURES]  # type: ignore[misc]
        if name is None or not lab or sizes is None or code is None or finish is None:
            return None
        supplies = attempt(lambda: tuple(Supply(size, code, *figures) for size in sizes))
        if supplies is None or len(self.mistakes.found) > before:
            return None
        return _Line(row.line, name, lab, finish, supplies)

    def name(self, row: Row, *, needed: bool) -> str:
        if row.text("name") or not row.text("code"):
            return _words(row, "name", needed=needed)
        self.mistakes.assume(row.line, "there is no name; the code is taken for it")
        return _words(row, "code")

    def lab(self, row: Row) -> Lab | tuple[()]:
        """Return the colour of a row, or no figures where it is passed over."""
        found = lab_of(row, self.mistakes)
        if found is None and self.colours is None:
            raise BadFileError("there is no colour; write it as #rrggbb or in columns R, G, B or L, a, b")
        if found is None and self.colours is not None:
            found = self.colours.get(folded(row.text("name") or row.text("code")))
            other = "passed over, for no colour of this design that came from a palette has its name"
            self.mistakes.assume(row.line, f"no colour is given; the bead is {'known by its name' if found else other}")
        return found or ()

    def sizes(self, row: Row) -> tuple[str, ...]:
        if row.text("size"):
            return parse_sizes(row.text("size"))
        self.mistakes.assume(row.line, f"no size is given; {self.flat}, the flat size, is taken")
        return (self.flat,)

    def figure(self, row: Row, column: str) -> float | None:
        if column != "price":
            return _named_number(column, grams_words(row.text(column)), self.unsure)
        words, currency = price_words(row.text(column))
        first, line = next(iter(self.currencies.items()), (currency, 0))
        if currency and first != currency:
            raise BadFileError(f"the price is in {currency} here and in {first} on line {line}; give all in one")
        if currency:
            self.currencies.setdefault(currency, row.line)
        return _named_number(column, words, self.unsure)


def _describe_nameless(lines: list[_Line], mistakes: Mistakes) -> list[_Line]:
    nameless = [line for line in lines if not line.name]
    if not nameless:
        return lines
    mistakes.assume(nameless[0].line, "names and codes are missing; colours without are described by words")
    labs = list(dict.fromkeys(line.lab for line in nameless))
    words = dict(zip(labs, describe(np.stack([codes_from_hex(srgb_of_lab(lab)) for lab in labs])), strict=True))
    return [line if line.name else line._replace(name=words[line.lab]) for line in lines]


def _words(row: Row, column: str, *, needed: bool = True) -> str:
    words = " ".join(row.text(column).split())
    if not words and needed:
        raise BadFileError(f"there is no {column}; write some words")
    if words:
        check_words(words, f"the {column}")
    return words


def _named_number(column: str, text: str, unsure: str) -> float | None:
    if not text:
        return None
    try:
        number = number_of(text, unsure)
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
        if any(line[1:] == other[1:] for other in earlier):
            mistakes.assume(line.line, "exactly like an earlier line; it counts once")
        elif problem:
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
            return f"{line.name} in {size} is on line {other.line} already; keep one of the two, or write their sum"
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
