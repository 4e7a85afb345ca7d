"""What comes again at once in most of a series: stretches of which each item equals the one a period before.

A stretch of more than half of a series holds its middle, so that Z functions on both sides of the middle find all of
them in linear time (M. G. Main, R. J. Lorentz, "An O(n log n) algorithm for finding all repetitions in a string",
Journal of Algorithms 5, 1984: the step that finds what crosses one place).
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple


class Repetition(NamedTuple):
    """A stretch that is as long as it can be."""

    first: int
    """Where it begins, from 0."""
    period: int
    """Each item but the first ``period`` equals the one so many before it."""
    length: int
    """How many items it has, at least two periods."""


def long_repetitions(items: Sequence[int]) -> Iterator[Repetition]:
    """Yield all repetitions that are longer than half of a series.

    Parameters
    ----------
    items
        Numbers that are compared for equality.
    """
    middle = len(items) // 2
    for one in _across(list(items[:middle]), list(items[middle:]), middle):
        if 2 * one.length > len(items):
            yield one


def z_function(items: Sequence[int | None]) -> list[int]:
    """Return for each place how far the series from there on equals its own beginning; 0 for the first place.

    Examples
    --------
    >>> z_function([1, 1, 2, 1, 1, 2, 1])
    [0, 1, 0, 4, 1, 0, 1]
    """
    size, left, right = len(items), 0, 0
    lengths = [0] * size
    for place in range(1, size):
        length = min(right - place, lengths[place - left]) if place < right else 0
        while place + length < size and items[length] == items[place + length]:
            length += 1
        lengths[place] = length
        if place + length > right:
            left, right = place, place + length
    return lengths


def _across(left: list[int | None], right: list[int | None], middle: int) -> Iterator[Repetition]:
    """Yield what lies across the place between two pieces of a series.

    Either the item a period before that place, or the one a period after it, belongs to the repetition; from there
    it is followed both ways.
    """
    whole = left + right
    back = [*z_function(left[::-1]), 0]
    ahead = z_function([*right, None, *whole])[len(right) + 1 :]
    for period in range(1, len(left) + 1):
        before, after = back[period], ahead[len(left) - period]
        if before + after >= period:
            yield Repetition(middle - period - before, period, period + before + after)
    onward = z_function(right)
    behind = z_function([*left[::-1], None, *whole[::-1]])[len(left) + 1 :]
    for period in range(1, len(right)):
        before, after = behind[len(right) - period], onward[period]
        if before + after >= period:
            yield Repetition(middle - before, period, period + before + after)
