"""Cells of a palette table as people write them: colours, weights and prices."""

import re
import unicodedata

import numpy as np

from palettes.colour import Lab, check_lab, lab_of_srgb, srgb_of_lab
from palettes.formats.table import Mistakes, Row
from shared.ciede2000 import ciede2000
from shared.errors import BadFileError

_HEX = re.compile(r"#?[0-9a-f]{6}|#[0-9a-f]{3}", re.IGNORECASE)
_RGB = re.compile(
    r"(?P<rgb>rgb\()?\s*(?P<codes>\d{1,9}(?:\s*[,;/]\s*|\s+)\d{1,9}(?:\s*[,;/]\s*|\s+)\d{1,9})\s*\)?", re.IGNORECASE
)
_COMMAS = re.compile(r"rgb\(\s*\d{1,9}\s*,\s*\d{1,9}\s*,\s*\d{1,9}\s*\)", re.IGNORECASE)
_NUMBER = re.compile(r"[-+\u2212]?(\d+([.,]\d*)?|[.,]\d+)")
_IN_THREES = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
_GRAMS = re.compile(r"(?P<number>.*\d[.,]?)\s*(g|grams?)\.?", re.IGNORECASE)
_CURRENCY = re.compile(r"[A-Z]{3}")
_BRIGHTEST = 255
_SAME_COLOUR = 5.0
"""Two colours of one line may differ by this much (CIEDE2000): few decimals, or outside sRGB."""


def part_rgb_by_blanks(text: str) -> str:
    """Return a table where the commas inside of ``rgb(47,74,90)`` do not part cells."""
    return _COMMAS.sub(lambda found: found[0].replace(",", " "), text)


def is_surely_colour(cell: str) -> bool:
    """Return whether a cell is ``#rrggbb``, ``#rgb`` or ``rgb(…)``, whatever column it stands in."""
    text = cell.strip()
    return text.startswith(("#", "rgb(")) and (_HEX.fullmatch(text) or _RGB.fullmatch(text)) is not None


def lab_of(row: Row, mistakes: Mistakes) -> Lab | None:
    """Read the colour of a row: of its L, a, b, which count where there are others, R, G, B, or one cell; None of none.

    Raises
    ------
    HummockError
        When one is no colour, or two are different colours.
    """
    found: list[tuple[str, Lab]] = []
    if figures := _three(row, "Lab"):
        lightness, a, b = (number_of(figure) for figure in figures)
        check_lab((lightness, a, b))
        found.append(("L, a, b", (lightness, a, b)))
    if figures := _three(row, "RGB"):
        found.append(("R, G, B", lab_of_srgb(_srgb_of_codes(figures))))
    shown = [(row.text(column), column) for column in ("colour", "hex", "rgb") if row.text(column)]
    found += [(text, lab_of_srgb(_read_srgb(text, column, row.line, mistakes))) for text, column in shown]
    for words, lab in found[1:]:
        # What lies outside sRGB is compared as a screen shows it, for the other cell can say no more than that.
        if ciede2000(np.array(lab_of_srgb(srgb_of_lab(found[0][1]))), np.array(lab)) > _SAME_COLOUR:
            raise BadFileError(f"{words} and {found[0][0]} are two different colours; leave one of them out")
    return found[0][1] if found else None


def _three(row: Row, columns: str) -> list[str]:
    figures = [row.text(column) for column in columns]
    if any(figures) and not all(figures):
        words = ", ".join(columns)
        raise BadFileError(f"of {words} some are empty; fill all three, or none and write the colour as #rrggbb")
    return figures if all(figures) else []


def _read_srgb(text: str, column: str, line: int, mistakes: Mistakes) -> str:
    """Return a colour in one cell as ``#rrggbb``."""
    if _HEX.fullmatch(text):
        digits = text.removeprefix("#").lower()
        return "#" + (digits if len(digits) > 3 else "".join(digit * 2 for digit in digits))
    codes = _RGB.fullmatch(text)
    if codes and (codes["rgb"] or column == "rgb"):
        return _srgb_of_codes(re.split(r"[\s,;/]+", codes["codes"]))
    if codes:
        raise BadFileError(f"'{text}' may be red, green, blue or L, a, b; write rgb({text}), or columns L, a, b")
    import webcolors

    try:
        srgb: str = webcolors.name_to_hex("".join(text.split()))
    except ValueError as error:
        raise BadFileError(
            f"'{text[:60]}' is no colour; write it as #rrggbb, rgb(47, 74, 90) or in columns R, G, B or L, a, b"
        ) from error
    mistakes.assume(line, "the CSS colour of a word is taken (red is #ff0000); write #rrggbb where the beads differ")
    return srgb


def _srgb_of_codes(figures: list[str]) -> str:
    for figure in figures:
        if not (figure.isascii() and figure.isdigit() and int(figure[:9]) <= _BRIGHTEST):
            raise BadFileError(f"'{figure[:20]}' is no red, green or blue; write whole numbers from 0 to {_BRIGHTEST}")
    return "#" + bytes(map(int, figures)).hex()


def grams_words(text: str) -> str:
    """Return a weight without its unit."""
    found = _GRAMS.fullmatch(text)
    return found["number"] if found else text


def price_words(text: str) -> tuple[str, str]:
    """Return a price without its currency, and the currency; empty where none stands there."""
    signs = [letter for letter in text if unicodedata.category(letter) == "Sc"] + _CURRENCY.findall(text)
    if len(signs) != 1:
        return text, ""
    return text.replace(signs[0], "").strip(), signs[0]


def number_of(text: str, unsure: str = "") -> float:
    """Read a number such as ``4.5`` or ``4,5``; marks that are ``unsure`` before three digits may part thousands.

    Raises
    ------
    BadFileError
        When it is none, or could be two.
    """
    if _NUMBER.fullmatch(text) is None:
        raise BadFileError(f"'{text[:20]}' is no number; write it like 4.5")
    if _IN_THREES.fullmatch(text) and text[-4] in unsure:
        whole, tail = text[:-4], text[-3:]
        raise BadFileError(f"'{text}' may be {whole}.{tail} or {whole}{tail}; write {whole}.{tail}0 or {whole}{tail}")
    return float(text.replace(",", ".").replace("\u2212", "-"))
