"""The letters that stand for the colours of a work, and the kinds that begin with them."""

from collections.abc import Iterable, Iterator
from itertools import count

ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""The letters of new colours: without I and O, which read as 1 and 0."""


def letters_at(place: int) -> str:
    """Return the letters of the colour at a place from 0: A, B … Z without I and O, which read as 1 and 0, then AA …

    Examples
    --------
    >>> letters_at(7), letters_at(8), letters_at(23), letters_at(24), letters_at(24 + 24 * 24)
    ('H', 'J', 'Z', 'AA', 'AAA')
    """
    text = ""
    place += 1
    while place:
        place, digit = divmod(place - 1, len(ALPHABET))
        text = ALPHABET[digit] + text
    return text


def letters_after(used: Iterable[str]) -> Iterator[str]:
    """Give letters for new colours one after another, from the first that comes after all those in use.

    Examples
    --------
    >>> new = letters_after(["C", "I"])
    >>> next(new), next(new)
    ('J', 'K')
    """
    return (letters_at(place) for place in count(1 + max(map(_place_of_letters, used), default=-1)))


def _place_of_letters(text: str) -> int:
    """Return the place of letters from 0; an I or O of an older work has the place of the letter before it."""
    place = 0
    for letter in text:
        # So letters after it are still new ones, for no new letters hold an I or O.
        place = place * len(ALPHABET) + sum(known <= letter for known in ALPHABET)
    return place - 1


def letter_of(kind: str) -> str:
    """Return the letters of a kind, which stand for its colour: ``"A8"`` has ``"A"``."""
    return kind.rstrip("0123456789")
