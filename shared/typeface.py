"""Text in pictures: how wide it runs, shortened and wrapped to a width, and the typeface it is painted in."""

import unicodedata
from importlib.resources import files
from io import BytesIO
from typing import Any

ELLIPSIS = "…"

_FACES = {False: "SourceSansPro-Regular.ttf", True: "SourceSansPro-Bold.ttf"}

_CLASSES = {
    "0123456789": 0.6,
    "ijl.,:;'|!`": 0.32,
    'ftr()[]-/" ': 0.42,
    "mw%@MW": 0.95,
    "ABCDEFGHKLNOPQRSTUVXYZ&#…": 0.72,
}
_ADVANCES = {character: advance for text, advance in _CLASSES.items() for character in text}
"""The advance of common characters, in parts of the font size."""

_BOLDER = 1.08
"""How much wider bold letters run."""


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the estimated width of one line, in the unit of its font size, on the safe side.

    An SVG names only a generic family, so the reader's own font decides: the advances lie at the wide end of the
    common sans-serif faces.
    """
    return sum([_ADVANCES.get(letter) or _advance(letter) for letter in text]) * size * (_BOLDER if bold else 1.0)


def _advance(character: str) -> float:
    """Return the advance of a character that has none of its own above."""
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return 1.05
    return 0.74 if character.isupper() else 0.6


def shorten(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """Return the text, or as much of its beginning as fits the width, with an ellipsis.

    Examples
    --------
    >>> shorten("pale kelp green", 5.0, 1.0)
    'pale kel…'
    """
    if text_width(text, size, bold=bold) <= width:
        return text
    kept = text
    while kept and text_width(kept + ELLIPSIS, size, bold=bold) > width:
        kept = kept[:-1]
    return kept.rstrip() + ELLIPSIS


def wrap(text: str, width: float, size: float, *, bold: bool = False, most_lines: int = 3) -> tuple[str, ...]:
    """Break a text at blanks into lines that fit; the last line takes what is left, shortened."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if len(lines) == most_lines or not lines[-1] or text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(shorten(line, width, size, bold=bold) for line in lines)


class Lettering:
    """The typeface of the picture in any size, regular and bold; each is opened once.

    It holds Latin with accents, Greek and Cyrillic; another character shows as an empty box.
    """

    def __init__(self) -> None:
        folder = files("font_source_sans_pro").joinpath("files")
        self._data = {bold: folder.joinpath(name).read_bytes() for bold, name in _FACES.items()}
        self._opened: dict[tuple[int, bool], Any] = {}

    def font(self, size: int, *, bold: bool) -> Any:
        """Return the Pillow font of a size in pixels."""
        from PIL import ImageFont

        if (size, bold) not in self._opened:
            data = BytesIO(self._data[bold])
            # The basic layout: the other one depends on what the machine has installed.
            font = ImageFont.truetype(data, size, layout_engine=ImageFont.Layout.BASIC)
            self._opened[size, bold] = font
        return self._opened[size, bold]
