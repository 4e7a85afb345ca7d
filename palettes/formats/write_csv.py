"""A palette as CSV (RFC 4180)."""

import csv
import io
from decimal import Decimal
from itertools import groupby

from palettes.colour import Colour, Supply, lab_of_srgb
from palettes.formats.cells import COLUMNS
from palettes.palette import Palette
from palettes.sizes import short_size
from shared.csv_safe import make_inert

NEEDED = ("name", "colour", "size")


def palette_csv(palette: Palette) -> str:
    """Write a palette so that `palettes.formats.read_csv.parse_csv` gives it back.

    Cells that a spreadsheet would run as a formula are made inert. Columns that no colour needs are left out; L, a, b
    are written for colours that lie between, or outside, those of 8-bit sRGB.
    """
    lines = [line for entry in palette.entries for line in _lines(entry)]
    used = [column for column in COLUMNS if column in NEEDED or any(line.get(column) for line in lines)]
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
