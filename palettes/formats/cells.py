"""Cells of a palette file as values."""

import re

from palettes.colour import Lab, check_lab, lab_of_srgb, srgb_of_lab
from palettes.formats.table import Row
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.errors import BadFileError

COLUMNS = ("name", "colour", "L", "a", "b", "size", "code", "finish", "grams", "pack_grams", "price")
"""Every column of a palette file, in the order in which it is written."""

KNOWN = {column.casefold(): column for column in COLUMNS} | {"color": "colour"}
"""Names of columns as `palettes.formats.table.column_name` gives them, and what they are called here."""

_NUMBER = re.compile(r"[-+\u2212]?(\d+([.,]\d*)?|[.,]\d+)")
_SAME_COLOUR = 5.0
"""A hex colour and a Lab of one line may differ by so much (CIEDE2000): few decimals, or outside sRGB."""


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
