"""Which columns a palette table has: by its header, or by what is in them where they cannot be mistaken."""

import re
from collections.abc import Collection, Sequence

from palettes.formats.cells import grams_words, is_surely_colour, price_words
from palettes.formats.table import Mistakes, column_name
from palettes.sizes import parse_sizes
from shared.errors import BadFileError

COLUMNS = ("name", "colour", "L", "a", "b", "size", "code", "finish", "grams", "pack_grams", "price")
"""Every column of a palette file, in the order in which it is written."""

KNOWN = {column.casefold(): column for column in COLUMNS} | {
    **dict.fromkeys(("colour_name", "color_name"), "name"),
    **dict.fromkeys(("r", "red"), "R"),
    **dict.fromkeys(("g", "green"), "G"),
    **dict.fromkeys(("blue", "g b"), "B"),  # b is blue next to g, else it is that of Lab
    **{column: column for column in ("hex", "rgb")},
    "color": "colour",
}
"""Names of columns as `palettes.formats.table.column_name` gives them, and what they are called here."""

_NAME_THEM = "name the columns in the first line: name, colour, size"


def find_header(rows: Sequence[tuple[int, list[str]]], mistakes: Mistakes) -> list[str]:
    """Return what the columns of a table without a header are; empty where its first line is one.

    A colour shows that it is none, and so do a size or figures where no known name stands. Each column must be certain
    by all its cells: a colour, a size, a weight with its unit, a price with its currency; one of words is the name.
    """
    line, first = rows[0]
    is_named = any(column_name(cell) in KNOWN for cell in first)
    sure = map(is_surely_colour if is_named else _is_no_heading, first)
    if not any(sure):
        return []
    kinds = [
        _kind_of([text for _, cells in rows for text in (cell.strip() for cell in cells[place : place + 1]) if text])
        for place in range(len(first))
    ]
    figures = [cell.strip()[:20] for cell, kind in zip(first, kinds, strict=True) if kind == "figures"]
    if figures:
        readings = (
            "red, green, blue or L, a, b, " * (len(figures) > 2) + "a size, grams, the weight of a pack or a price"
        )
        mistakes.add(line, f"no header, and {', '.join(figures)} may be {readings}; {_NAME_THEM}")
    for place, kind in enumerate(kinds):
        if kind not in {"", "figures"} and kind in kinds[:place]:
            pair = f"'{first[kinds.index(kind)].strip()[:20]}' and '{first[place].strip()[:20]}'"
            mistakes.add(line, f"no header, and {pair} may both be the {kind}; {_NAME_THEM}")
    mistakes.assume(
        line, f"no header is there; the columns are taken for {', '.join(kind or 'nothing' for kind in kinds)}"
    )
    return ["" if kind in kinds[:place] else kind for place, kind in enumerate(kinds)]


def _kind_of(cells: list[str]) -> str:
    if not cells:
        return ""
    if all(map(is_surely_colour, cells)):
        return "colour"
    if any(map(_is_surely_size, cells)) and all(map(_is_size, cells)):
        return "size"
    if all(grams_words(cell) != cell for cell in cells):
        return "grams"
    if all(price_words(cell)[1] for cell in cells):
        return "price"
    return "figures" if all(map(_is_figure, cells)) else "name"


def _is_no_heading(cell: str) -> bool:
    return is_surely_colour(cell) or _is_surely_size(cell) or _is_figure(cell)


def _is_figure(cell: str) -> bool:
    return re.fullmatch(r"\s*-?[\d.,]*\d[\d.,]*\s*", cell) is not None


def _is_size(cell: str) -> bool:
    try:
        return bool(parse_sizes(cell))
    except BadFileError:
        return False


def _is_surely_size(cell: str) -> bool:
    return _is_size(cell) and any(letter.isalpha() or letter == "/" for letter in cell)


def check_columns(columns: Collection[str], line: int, mistakes: Mistakes, *, by_name: bool) -> None:
    """Note what a header lacks for colours, which need no column where they are known ``by_name``."""
    for three in ("Lab", "RGB"):
        there = [column for column in three if column in columns]
        if 0 < len(there) < len(three):
            words = ", ".join(three)
            mistakes.add(line, f"of the columns {words} there is only {' and '.join(there)}; give all three or none")
    if by_name and not {"name", "code"} & set(columns):
        mistakes.add(line, f"no column is called name; {_NAME_THEM}")
    if not by_name and not {"colour", "hex", "rgb", "R", "G", "B", "L", "a", "b"} & set(columns):
        mistakes.add(
            line,
            f"no column is called colour; {_NAME_THEM}, colours as #rrggbb or in columns R, G, B or L, a, b (a stash "
            "of names, sizes and grams alone goes with shopping --stash)",
        )
