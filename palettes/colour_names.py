"""Plain descriptions of colours: the nearest W3C CSS colour word."""

import re
from collections import Counter
from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.ciede2000 import difference_table
from shared.colour import codes_from_hex, lab_from_codes

_LATER_WORD = re.compile(
    "(?<=[a-z])(?=(almond|aquamarine|blue|blush|brick|brown|chiffon|coral|cream|cyan|drab|goldenrod|green|grey|khaki"
    "|lace|magenta|olive|orange|orchid|pink|puff|purple|red|rose|salmon|sea|sky|slate|smoke|spring|steel|turquoise"
    "|violet|whip|white|yellow))"
)


class _Dictionary(NamedTuple):
    words: tuple[str, ...]
    lab: NDArray[np.float64]


def describe(codes: NDArray[np.uint8]) -> tuple[str, ...]:
    """Name each colour by the nearest CSS colour word (CIEDE2000), numbered where a word comes again.

    Source of the words: W3C CSS Color Module Level 3, section 4.3, through the ``webcolors`` library.

    Parameters
    ----------
    codes
        8-bit sRGB, shape (colours, 3).
    """
    dictionary = _dictionary()
    nearest = difference_table(lab_from_codes(codes), dictionary.lab).argmin(axis=1)
    return numbered([dictionary.words[place] for place in nearest])


def numbered(words: list[str]) -> tuple[str, ...]:
    """Put numbers behind words that come again: ``slate``, ``slate 2``."""
    seen: Counter[str] = Counter()
    names = []
    for word in words:
        seen[word] += 1
        names.append(word if seen[word] == 1 else f"{word} {seen[word]}")
    return tuple(names)


@cache
def _dictionary() -> _Dictionary:
    import webcolors

    british = [name for name in webcolors.names("css3") if "gray" not in name]
    one_name = {webcolors.name_to_hex(name): name for name in sorted(british, reverse=True)}
    codes = np.stack([codes_from_hex(hexadecimal) for hexadecimal in one_name])
    return _Dictionary(tuple(_spaced(name) for name in one_name.values()), lab_from_codes(codes))


def _spaced(name: str) -> str:
    """Part a run-together CSS name into words: ``darkslategrey`` becomes ``dark slate grey``."""
    return _LATER_WORD.sub(" ", name)
