"""How wide a line of text will be, without a font: a safe estimate, and what follows from it.

The SVG names only a generic family, so the reader's own font decides. The advances below, in parts of
the font size, lie at the wide end of the common sans-serif faces.
"""

import unicodedata

ELLIPSIS = "…"
DIGIT_HEIGHT = 0.7
"""Height of figures and capitals in parts of the font size."""

_CLASSES = {
    "0123456789": 0.6,
    "ijl.,:;'|!`": 0.32,
    'ftr()[]-/" ': 0.42,
    "mw%@MW": 0.95,
    "ABCDEFGHKLNOPQRSTUVXYZ&#…": 0.72,
}
_ADVANCES = {character: advance for text, advance in _CLASSES.items() for character in text}
_BOLD = 1.08


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return the estimated width of one line, in the unit of its font size."""
    return sum([_ADVANCES.get(letter) or _advance(letter) for letter in text]) * size * (_BOLD if bold else 1.0)


def shorten(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """Return the text, or as much of its beginning as fits the width, with an ellipsis.

    Examples
    --------
    >>> shorten("pale kelp green", 5.0, 1.0)
    'pale ke…'
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


def _advance(character: str) -> float:
    """Return the advance of a character that has none of its own above."""
    if unicodedata.combining(character):
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return 1.05
    return 0.74 if character.isupper() else 0.6
