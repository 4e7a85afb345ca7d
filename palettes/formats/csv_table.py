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
    Marks,
    grams_words,
    is_surely_colour,
    lab_of,
    number_of,
    part_rgb_by_blanks,
    price_words,
)
from palettes.formats.columns import COLUMNS, KNOWN, check_columns, find_header
from palettes.formats.table import Assumed, CsvTable, Mistakes, Row, read_table
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
        sizes. A code stands for a name, a description for neither.
    name
        What the palette is to be called.
    source
        What the text is called in errors.
    flat
        Full name of the size that is meant where none is given; None for the one that Hummock begins with.
    colours
        Those of a design that came from a palette, CIELAB by folded names: a stash may leave colours out then, and its
        lines of other names are passed over. None where each line needs its colour.

    Returns
    -------
    Palette
        Its notices say what was assumed.

    Raises
    ------
    MistakesError
        With every mistake, each with its line.
    BadFileError
        When there is nothing under the header.
    """
    mistakes, assumed = Mistakes(), Assumed()
    table = read_table(part_rgb_by_blanks(text), KNOWN, mistakes, lambda rows: find_header(rows, mistakes, assumed))
    table = _with_names(table, assumed)
    if mistakes.up_to(table.line) or not check_columns(
        table.columns, table.line, mistakes, by_name=colours is not None
    ):
        mistakes.raise_if_any(source)
    reader = _Reader(_marks(table), flat or default_bead_sizes().flat.name, colours, mistakes, assumed)
    lines = _described([line for row in table.rows if (line := reader.line(row, table.columns))], assumed)
    _check_currency(table, mistakes)
    entries = _merge_by_name(lines, mistakes, assumed)
    mistakes.raise_if_any(source)
    if not entries:
        if table.rows:
            raise BadFileError("names no colour of this design that came from a palette; add colours", where=[source])
        raise BadFileError("holds no colour; add a line for each under the header", where=[source])
    return Palette(name, entries, (*table.notices, *assumed.notices(), *_shared_grams(lines)))


def _with_names(table: CsvTable, assumed: Assumed) -> CsvTable:
    """Find where names stand that no column is called by: codes, or words for colours next to the colours."""
    if "name" in table.columns:
        return table
    shown = [row.text("colour") for row in table.rows]
    if {"hex", "rgb", "R", "L"} & set(table.columns) and any(shown) and not any(map(is_surely_colour, shown)):
        taken = "colour"
    elif "code" in table.columns:
        taken = "code"
    else:
        return table
    assumed.add(table.line, f"no column is called name; the column {taken} is taken for it")
    rows = [Row(row.line, row.cells | {"name": row.text(taken)}) for row in table.rows]
    if taken == "colour":
        for row in rows:
            row.cells.pop("colour", None)
    return table._replace(columns=(*table.columns, "name"), rows=tuple(rows))


def _marks(table: CsvTable) -> Marks:
    figures = [row.text(column) for row in table.rows for column in _FIGURES]
    return Marks(comma=table.separator == ";", point=not any(_DECIMAL_COMMA.search(figure) for figure in figures))


class _Reader(NamedTuple):
    """Reads every cell of a row, so that all that is wrong in it is told."""

    marks: Marks
    flat: str
    colours: Mapping[str, Lab] | None
    mistakes: Mistakes
    assumed: Assumed

    def line(self, row: Row, columns: Collection[str]) -> _Line | None:
        """Return what a row says; None when it cannot be read or is passed over."""
        before = len(self.mistakes.found)
        attempt = partial(self.mistakes.try_to, row.line)
        name = attempt(lambda: self.name(row, needed="name" in columns))
        lab = attempt(lambda: self.lab(row))
        sizes = attempt(lambda: self.sizes(row))
        code = attempt(lambda: _words(row, "code", needed=False))
        finish = attempt(lambda: _words(row, "finish", needed=False))
        figures = [self.figure(row, column) for column in _FIGURES]
        if name is None or not lab or sizes is None or code is None or finish is None:
            return None
        supplies = attempt(lambda: tuple(Supply(size, code, *figures) for size in sizes))
        if supplies is None or len(self.mistakes.found) > before:
            return None
        return _Line(row.line, name, lab, finish, supplies)

    def name(self, row: Row, *, needed: bool) -> str:
        if needed and not row.text("name") and row.text("code"):
            self.assumed.add(row.line, "there is no name; the code is taken for it")
            return _words(row, "code")
        return _words(row, "name", needed=needed)

    def lab(self, row: Row) -> Lab | tuple[()]:
        """Return the colour of a row, or no figures where it is passed over."""
        found = lab_of(row, self.assumed)
        if found is None and self.colours is not None:
            found = self.colours.get(folded(row.text("name")))
            other = "passed over, for no colour of this design that came from a palette has its name"
            self.assumed.add(row.line, f"no colour is given; the bead is {'known by its name' if found else other}")
            return found or ()
        if found is None:
            raise BadFileError("there is no colour; write it as #rrggbb or in columns R, G, B or L, a, b")
        return found

    def sizes(self, row: Row) -> tuple[str, ...]:
        if row.text("size"):
            return parse_sizes(row.text("size"))
        self.assumed.add(row.line, f"no size is given; {self.flat}, the flat size, is taken")
        return (self.flat,)

    def figure(self, row: Row, column: str) -> float | None:
        text = row.text(column)
        words = price_words(text)[0] if column == "price" else grams_words(text)
        return self.mistakes.try_to(row.line, lambda: _named_number(column, words, self.marks)) if text else None


def _described(lines: list[_Line], assumed: Assumed) -> list[_Line]:
    """Give words to colours without a name."""
    nameless = list(dict.fromkeys(line.lab for line in lines if not line.name))
    if not nameless:
        return lines
    codes = np.stack([codes_from_hex(srgb_of_lab(lab)) for lab in nameless])
    words = dict(zip(nameless, describe(codes), strict=True))
    for line in lines:
        if not line.name:
            assumed.add(line.line, "there is no name; the colour is described by one")
    return [line if line.name else line._replace(name=words[line.lab]) for line in lines]


def _check_currency(table: CsvTable, mistakes: Mistakes) -> None:
    """Refuse prices in several currencies, which nobody can add up."""
    first: tuple[str, int] | None = None
    for row in table.rows:
        currency = price_words(row.text("price"))[1]
        if currency and first is None:
            first = currency, row.line
        elif first and currency not in ("", first[0]):
            mistakes.add(row.line, f"the price is in {currency} here and in {first[0]} on line {first[1]}; use one")


def _words(row: Row, column: str, *, needed: bool = True) -> str:
    words = " ".join(row.text(column).split())
    if not words and needed:
        raise BadFileError(f"there is no {column}; write some words")
    if words:
        check_words(words, f"the {column}")
    return words


def _named_number(column: str, text: str, marks: Marks) -> float:
    try:
        number = number_of(text, marks)
    except BadFileError as error:
        raise BadFileError(error.message, where=[column]) from error
    figure: dict[str, Any] = {column: number}
    Supply(EVERY_SIZE, **figure)  # refuses what cannot be meant, whatever else is wrong
    return number


def _merge_by_name(lines: list[_Line], mistakes: Mistakes, assumed: Assumed) -> tuple[Colour, ...]:
    """Make one colour of the lines of each name."""
    by_name: dict[str, list[_Line]] = {}
    for line in lines:
        earlier = by_name.setdefault(folded(line.name), [])
        problem = _conflict(earlier, line)
        if any(line[1:] == other[1:] for other in earlier):
            assumed.add(line.line, "exactly like an earlier line; it counts once")
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
