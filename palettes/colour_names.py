"""Plain names of colours that one can buy beads by: a hue word of ordinary English, and how light and how strong.

The method is that of the ISCC-NBS names (K. L. Kelly and D. B. Judd, "The ISCC-NBS Method of Designating Colors and a
Dictionary of Color Names", National Bureau of Standards Circular 553, 1955): colour space is cut into blocks by hue,
lightness and chroma; a block has a hue word, and its modifier follows from lightness and chroma alone. Words and
boundaries are our own. The blocks stand in OKLab rather than in CIELAB, where vivid blues have the hue angle of light
violets, so that no boundary of hue parts the two.
"""

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.palette import folded
from shared.arrays import Bools, Floats
from shared.colour import linear_from_srgb, oklab_from_linear


class _Block(NamedTuple):
    """The colours of one word: half-open ranges of hue in degrees (through 360 where it wraps), lightness and chroma.

    Below ``dark`` in lightness the word is called dark or deep, from ``light`` on light or pale. ``full`` is the
    chroma of a full colour of that word, by which pale, greyish, soft and vivid are told; 0 for words which say it.
    """

    word: str
    hue: tuple[float, float]
    lightness: tuple[float, float]
    chroma: tuple[float, float]
    dark: float = 0.0
    light: float = 2.0
    full: float = 0.0


_ANY = (0, 361)
_UP = 9.0  # above every lightness and chroma

_BLOCKS = (  # the first block that holds a colour names it
    # Neutral, or nearly: here the hue is no more than a tinge.
    _Block("black", _ANY, (0, 0.15), (0, 0.03)),
    _Block("black", _ANY, (0.15, 0.34), (0, 0.014)),
    _Block("brown black", (20, 110), (0, 0.26), (0, 0.045)),
    _Block("green black", (110, 220), (0, 0.28), (0, 0.04)),
    _Block("blue black", (220, 300), (0, 0.3), (0, 0.05)),
    _Block("purple black", (300, 20), (0, 0.26), (0, 0.045)),
    _Block("white", _ANY, (0.955, _UP), (0, 0.012)),
    _Block("off-white", _ANY, (0.92, 0.955), (0, 0.012)),
    _Block("grey", _ANY, (0.34, 0.92), (0, 0.012), dark=0.5, light=0.72),
    _Block("ivory", (45, 125), (0.92, _UP), (0.012, 0.03)),
    _Block("cream", (60, 115), (0.92, _UP), (0.03, 0.075)),
    _Block("warm grey", (20, 110), (0.34, 0.92), (0.012, 0.022), dark=0.5, light=0.72),
    _Block("green grey", (110, 205), (0.28, 0.92), (0.012, 0.03), dark=0.5, light=0.72),
    _Block("slate", (205, 288), (0.28, 0.68), (0.012, 0.053), dark=0.45, light=0.58),
    _Block("blue grey", (205, 288), (0.68, 0.92), (0.012, 0.03), light=0.8),
    _Block("purple grey", (288, 20), (0.26, 0.92), (0.012, 0.026), dark=0.5, light=0.72),
    # Red, pink, orange and brown.
    _Block("wine", (345, 20), (0, 0.43), (0.045, 0.15), dark=0.33),
    _Block("maroon", (20, 37), (0, 0.42), (0.075, _UP), dark=0.3),
    _Block("brick red", (24.5, 36), (0.42, 0.57), (0.1, 0.175), dark=0.46, light=0.53),
    _Block("rust", (36, 58), (0.4, 0.63), (0.12, _UP), dark=0.47, light=0.56),
    _Block("coral", (18, 47), (0.65, 0.82), (0.1, 0.2), light=0.76),
    _Block("mauve", (308, 5), (0.45, 0.7), (0.026, 0.085), dark=0.54, light=0.63),
    _Block("pink", (340, 33), (0.66, _UP), (0.012, _UP), light=0.82, full=0.12),
    _Block("peach", (33, 68), (0.8, _UP), (0.045, 0.115), light=0.88),
    _Block("beige", (20, 110), (0.78, _UP), (0.012, 0.06), dark=0.84, light=0.9),
    _Block("sand", (68, 92), (0.73, _UP), (0.06, 0.1), light=0.82),
    _Block("taupe", (20, 110), (0.45, 0.78), (0.022, 0.045), dark=0.56, light=0.67),
    _Block("tan", (33, 84), (0.62, 0.8), (0.045, 0.09), dark=0.67, light=0.74),
    _Block("ochre", (60, 84), (0.57, 0.72), (0.09, _UP), dark=0.62, light=0.695),
    _Block("amber", (74, 88), (0.72, _UP), (0.1, _UP), light=0.82),
    _Block("mustard", (84, 102), (0.57, 0.77), (0.09, _UP), dark=0.65),
    _Block("orange", (33, 74), (0.63, _UP), (0.09, _UP), light=0.76, full=0.15),
    _Block("brown", (20, 30), (0, 0.45), (0.012, 0.05), dark=0.39),
    _Block("brown", (30, 92), (0, 0.8), (0.012, 0.12), dark=0.39, light=0.55),
    _Block("red", (12, 36), (0, 0.66), (0.012, _UP), dark=0.47, full=0.18),
    _Block("brown", (30, 92), (0, 0.8), (0.12, _UP), dark=0.39, light=0.55),
    _Block("rose", (350, 12), (0, 0.66), (0.012, _UP), dark=0.47, full=0.18),
    # Yellow and green.
    _Block("khaki", (88, 118), (0.62, 0.86), (0.03, 0.1), dark=0.7, light=0.78),
    _Block("yellow", (84, 113), (0.77, _UP), (0.03, _UP), light=0.9, full=0.15),
    _Block("olive", (90, 116), (0, 0.86), (0.012, _UP), dark=0.42, light=0.6),
    _Block("olive green", (113, 137), (0, 0.62), (0.03, _UP), dark=0.42, light=0.55),
    _Block("sage", (116, 165), (0.58, 0.84), (0.03, 0.075), dark=0.66, light=0.75),
    _Block("mint", (137, 187), (0.84, _UP), (0.03, 0.13), light=0.91),
    _Block("mint", (113, 187), (0.92, _UP), (0.012, 0.03), light=0.91),
    _Block("yellow green", (113, 136), (0, _UP), (0.012, _UP), dark=0.6, light=0.84, full=0.15),
    _Block("green", (136, 163), (0, _UP), (0.012, _UP), dark=0.46, light=0.72, full=0.14),
    _Block("turquoise", (181, 214), (0.72, _UP), (0.05, _UP), light=0.83),
    _Block("sea green", (163, 187), (0, _UP), (0.012, _UP), dark=0.48, light=0.7, full=0.1),
    # Blue and violet.
    _Block("teal", (187, 224), (0, 0.72), (0.012, _UP), dark=0.46, light=0.62, full=0.085),
    _Block("sky blue", (214, 246), (0.7, _UP), (0.05, _UP), light=0.82),
    _Block("navy", (235, 290), (0, 0.33), (0.05, _UP), dark=0.25),
    _Block("blue", (187, 269), (0, _UP), (0.012, _UP), dark=0.43, light=0.68, full=0.15),
    _Block("lavender", (269, 304), (0.7, _UP), (0.012, 0.13), light=0.82),
    _Block("lilac", (304, 340), (0.7, _UP), (0.012, 0.13), light=0.82),
    _Block("violet blue", (269, 284), (0, _UP), (0.012, _UP), dark=0.43, light=0.62, full=0.15),
    _Block("violet", (284, 308), (0, _UP), (0.012, _UP), dark=0.42, light=0.6, full=0.17),
    _Block("plum", (320, 350), (0, 0.48), (0.045, 0.15), dark=0.34),
    _Block("magenta", (325, 350), (0.5, _UP), (0.085, _UP), light=0.68, full=0.18),
    _Block("purple", (308, 350), (0, _UP), (0.012, _UP), dark=0.45, light=0.6, full=0.17),
)

_STRENGTHS = np.array((0.35, 0.6, 1.0))  # shares of the full chroma at which greyish, soft, full and vivid part
_DARK_REACH = 0.8  # of that chroma is full for a dark colour: no bead can be both dark and as strong as a bright one
_MODIFIERS = np.array(
    [
        ["dark greyish", "dark", "deep", "deep"],
        ["greyish", "soft", "", "vivid"],
        ["pale", "light", "light", "bright"],
    ]
)
_BY_LIGHTNESS_ALONE = np.array([["dark"] * 4, [""] * 4, ["light"] * 4])
_NAMES = np.array(
    [
        [
            f"{modifier} {block.word}".lstrip()
            for modifier in (_MODIFIERS if block.full else _BY_LIGHTNESS_ALONE).ravel()
        ]
        for block in _BLOCKS
    ],
    dtype=object,
)
"""The name of each block, for each of three lightnesses and, within it, four strengths."""

_UNIQUE_HUES = (25, 100, 145, 250)
"""Hues in OKLab that look neither of their neighbours: red, yellow, green, blue. Between two of them, a colour turns
from one towards the other."""

_COMPARED = np.array(("redder", "yellower", "greener", "bluer", "darker", "lighter", "greyer", "stronger", ""))
_NOT = len(_COMPARED) - 1
_SAME = 1e-9  # differences in OKLab that are but rounding


def describe(codes: NDArray[np.uint8]) -> tuple[str, ...]:
    """Name each colour; where a name comes again, say how it differs from the first of that name.

    So ``deep teal`` is followed by ``deep teal, lighter``, and by a number where that is taken, too. The names
    depend on the colours and their order alone, and no two are alike.

    Parameters
    ----------
    codes
        8-bit sRGB, shape (colours, 3).

    Examples
    --------
    >>> describe(np.array([[31, 95, 107], [163, 49, 42], [24, 80, 91]], dtype=np.uint8))
    ('deep teal', 'brick red', 'deep teal, darker')
    """
    light_chroma_hue = _measure(codes)
    words = _name_blocks(light_chroma_hue)
    places: dict[str, int] = {}
    firsts = [places.setdefault(word, place) for place, word in enumerate(words)]
    wanted: dict[int, str] = {}
    taken: set[str] = set()
    for place, comparisons in enumerate(_compare(light_chroma_hue, light_chroma_hue[firsts])):
        word = words[place]
        names = [f"{word}, {comparison}" for comparison in comparisons if comparison] or [word]
        wanted[place] = word if firsts[place] == place else next((n for n in names if n not in taken), names[0])
        taken.add(wanted[place])
    return numbered(wanted.values())


def numbered(words: Iterable[str], taken: Iterable[str] = ()) -> tuple[str, ...]:
    """Put numbers behind words that come again, or are taken, however they are spelt: ``slate``, ``Slate 2``."""
    used = {folded(word) for word in taken}
    times: Counter[str] = Counter()
    names = []
    for word in words:
        name = word
        key = spelt = folded(word)
        while spelt in used:
            times[key] += 1
            name = f"{word} {times[key] + 1}"
            spelt = folded(name)
        used.add(spelt)
        names.append(name)
    return tuple(names)


def _measure(codes: NDArray[np.uint8]) -> Floats:
    """Return lightness (0 … 1), chroma and hue (degrees) in OKLab, shape (colours, 3)."""
    lightness, a, b = oklab_from_linear(linear_from_srgb(codes.astype(np.float64) / 255)).T
    return np.stack([lightness, np.hypot(a, b), np.degrees(np.arctan2(b, a)) % 360], axis=-1)


def _name_blocks(light_chroma_hue: Floats) -> list[str]:
    lightness, chroma, hue = light_chroma_hue.T
    names = np.zeros(len(hue), dtype=object)
    for block, of_block in reversed(list(zip(_BLOCKS, _NAMES, strict=True))):  # so that the first is laid on top
        (start, end), wraps = block.hue, block.hue[0] > block.hue[1]
        turned = (hue >= start) | (hue < end) if wraps else (hue >= start) & (hue < end)
        inside = np.flatnonzero(turned & _within(lightness, block.lightness) & _within(chroma, block.chroma))
        level = np.searchsorted((block.dark, block.light), lightness[inside], side="right")
        reach = block.full * np.where(level == 0, _DARK_REACH, 1)
        strength = (chroma[inside, None] >= reach[:, None] * _STRENGTHS).sum(axis=1)
        names[inside] = of_block[4 * level + strength]
    return list(names)


def _within(values: Floats, bounds: tuple[float, float]) -> Bools:
    return (values >= bounds[0]) & (values < bounds[1])


def _compare(colours: Floats, others: Floats) -> list[list[str]]:
    """Return for each pair of colours the words for how they differ most, at least half as much as in any other way."""
    change = colours - others
    # The chord between two hues, which is a length in OKLab as the other two differences are.
    mean_chroma = np.sqrt(colours[:, 1] * others[:, 1])
    change[:, 2] = 2 * mean_chroma * np.sin(np.radians((change[:, 2] + 180) % 360 - 180) / 2)
    sector = np.searchsorted(_UNIQUE_HUES, others[:, 2], side="right")
    words = np.stack(
        [4 + (change[:, 0] > 0), 6 + (change[:, 1] > 0), (sector - (change[:, 2] < 0)) % len(_UNIQUE_HUES)], axis=-1
    )
    size = np.abs(change)
    words[size < np.maximum(size.max(axis=1, keepdims=True) / 2, _SAME)] = _NOT
    most_first: list[list[str]] = _COMPARED[
        np.take_along_axis(words, np.argsort(-size, axis=1, kind="stable"), 1)
    ].tolist()
    return most_first
