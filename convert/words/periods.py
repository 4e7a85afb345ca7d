"""Everything that comes again at once in a series: stretches of which each item equals the one a period before.

The series is cut into factors, each the longest piece that stood before, or a new item (J. Ziv, A. Lempel, "On the
complexity of finite sequences", 1976, by way of a suffix automaton). A stretch of two periods or more that lies
whole within a factor stood before; so the first of its kind crosses the beginning of the factor in which it ends,
and Z functions around that place find it. All of it takes linear time (M. G. Main, "Detecting leftmost maximal
periodicities", Discrete Applied Mathematics 25, 1989).
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

    @property
    def saved(self) -> int:
        """How many items need no telling once the first period is told."""
        return self.length - self.period


def repetitions(items: Sequence[int]) -> Iterator[Repetition]:
    """Yield the repetitions of a series; of those with equal items at least the first, and some of them cut short.

    Parameters
    ----------
    items
        Numbers that are compared for equality.
    """
    series: list[int | None] = list(items)
    length_before = 0
    for begin, end in _factors(items):
        reach = min(begin, 2 * length_before + end - begin)
        yield from _across(series[begin - reach : begin], series[begin:end], begin)
        length_before = end - begin


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


def _factors(items: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield begin and end of each factor."""
    automaton = _Automaton(items)
    begin = 0
    while begin < len(items):
        state, end = 0, begin
        while end < len(items):
            state = automaton.following[state][items[end]]
            if automaton.first_end[state] >= end:
                break
            end += 1
        end = max(end, begin + 1)
        yield begin, end
        begin = end


class _Automaton:
    """The suffix automaton: a state for pieces that end at the same places, and the first such place.

    A. Blumer, J. Blumer, D. Haussler, A. Ehrenfeucht, M. T. Chen, J. Seiferas, "The smallest automaton recognizing
    the subwords of a text", Theoretical Computer Science 40, 1985.
    """

    def __init__(self, items: Sequence[int]) -> None:
        self.following: list[dict[int, int]] = [{}]
        self.first_end = [-1]
        self._longest = [0]
        self._shorter = [-1]
        last = 0
        for place, item in enumerate(items):
            last = self._extend(last, place, item)

    def _extend(self, last: int, place: int, item: int) -> int:
        new = self._state({}, place, self._longest[last] + 1, 0)
        state = last
        while state >= 0 and item not in self.following[state]:
            self.following[state][item] = new
            state = self._shorter[state]
        if state >= 0:
            self._shorter[new] = self._split(state, item)
        return new

    def _split(self, state: int, item: int) -> int:
        """Return the state after an item, without the longer pieces that do not end here."""
        after = self.following[state][item]
        if self._longest[state] + 1 == self._longest[after]:
            return after
        copy = self._state(
            dict(self.following[after]), self.first_end[after], self._longest[state] + 1, self._shorter[after]
        )
        self._shorter[after] = copy
        while state >= 0 and self.following[state].get(item) == after:
            self.following[state][item] = copy
            state = self._shorter[state]
        return copy

    def _state(self, following: dict[int, int], first_end: int, longest: int, shorter: int) -> int:
        self.following.append(following)
        self.first_end.append(first_end)
        self._longest.append(longest)
        self._shorter.append(shorter)
        return len(self.following) - 1
