"""What comes again at once in a series, against a search of all places and periods."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from convert.rows.find_repeat import find_long_repetitions, z_function


def longest_possible(items):
    """Every stretch of two periods or more that can be made no longer, by trying all of them."""
    size = len(items)
    found = set()
    for period in range(1, size // 2 + 1):
        alike = [items[place] == items[place + period] for place in range(size - period)]
        for first in range(size - period):
            if alike[first] and not (first and alike[first - 1]):
                stop = next((place for place in range(first, size - period) if not alike[place]), size - period)
                if stop - first >= period:
                    found.add((first, period, stop - first + period))
    return found


few = st.lists(st.integers(0, 2), max_size=40)


@settings(max_examples=400)
@given(few)
def test_what_fills_more_than_half_is_found_and_nothing_that_comes_not_again(items):
    found = list(map(tuple, find_long_repetitions(items)))
    wanted = {one for one in longest_possible(items) if 2 * one[2] > len(items)}
    assert set(found) == wanted


@given(few)
def test_z_function(items):
    def by_hand(place):
        return next((step for step in range(len(items) - place) if items[step] != items[place + step]), -1)

    wanted = [len(items) - place if by_hand(place) < 0 else by_hand(place) for place in range(1, len(items))]
    assert z_function(items)[1:] == wanted


class Seen(int):
    """A number that counts how often any such number is compared."""

    looks = 0

    def __eq__(self, other):
        Seen.looks += 1
        return other is not None and int(self) == int(other)

    __hash__ = int.__hash__


def series(what, size):
    if what == "chance":
        return np.random.default_rng(1).integers(0, 4, size).tolist()
    if what == "words of Fibonacci":
        one, other = [0], [0, 1]
        while len(other) < size:
            one, other = other, other + one
        return other[:size]
    return {"one item": [0] * size, "pairs": [0, 1] * (size // 2), "no repetition": list(range(size))}[what]


@pytest.mark.parametrize("what", ["one item", "pairs", "no repetition", "words of Fibonacci", "chance"])
def test_each_item_is_looked_at_a_fixed_number_of_times(what):
    for size in (1000, 4000):
        Seen.looks = 0
        found = list(find_long_repetitions([Seen(item) for item in series(what, size)]))
        assert bool(found) == (what not in {"no repetition", "chance"})
        assert Seen.looks < 40 * size
