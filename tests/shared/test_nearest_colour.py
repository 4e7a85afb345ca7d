import numpy as np
import pytest

from shared.ciede2000 import difference_table
from shared.colour import lab_from_codes
from shared.nearest_colour import MANY, nearest_colours, pack, unpack


def of_kind(kind, number, random):
    if kind == "all of sRGB":
        return lab_from_codes(random.integers(0, 256, (number, 3)).astype(np.uint8))
    spread = {"greys": 3, "soft colours": 20}[kind]
    return np.column_stack([random.uniform(0, 100, number), random.normal(0, spread, (number, 2))])


@pytest.mark.parametrize("kind", ["all of sRGB", "greys", "soft colours"])
def test_many_colours_find_the_same_as_each_by_itself(kind):
    random = np.random.default_rng(3)
    labs, palette = of_kind(kind, 2 * MANY, random), of_kind(kind, 24, random)
    labs[: len(palette)] = palette  # errors of nothing, too
    labels, errors = nearest_colours(labs, palette)
    table = difference_table(labs, palette)
    assert np.array_equal(labels, table.argmin(axis=1))
    assert np.array_equal(errors, table.min(axis=1))


def test_of_two_alike_the_first_is_taken_of_few_and_of_many():
    palette = np.array([[50.0, 0, 0], [70, 10, 10], [70, 10, 10]])
    for number in (10, MANY + 1):
        labels, _ = nearest_colours(np.tile([69.0, 10, 10], (number, 1)), palette)
        assert (labels == 1).all()


def test_packed_numbers_sort_as_rows_do_and_come_back():
    steps = np.random.default_rng(4).integers(-13_000, 13_000, (500, 3)).astype(float)
    steps = np.concatenate([steps, steps[:50, ::-1], [[0.0, -1, 1], [0, 1, -1], [-1, 0, 0]]])
    keys = pack(steps)
    assert np.array_equal(unpack(keys), steps)
    assert np.array_equal(unpack(np.unique(keys)), np.unique(steps, axis=0))
