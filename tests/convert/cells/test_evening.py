import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from convert.cells.mean_shift import evened
from shared.colour import codes_from_linear, lab_from_linear, linear_from_lab


def test_shades_of_two_inks_become_two_colours_near_the_middle_of_each():
    rng = np.random.default_rng(2)
    inks = np.array([[20.0, 5, -15], [45.0, 50, 30]])
    of = rng.integers(0, 2, 300)
    found = evened(linear_from_lab(inks[of] + rng.normal(0, 2.5, (300, 3))))
    assert len(np.unique(codes_from_linear(found), axis=0)) == 2
    for ink in (0, 1):
        assert lab_from_linear(found[of == ink]) == pytest.approx(np.tile(inks[ink], (np.sum(of == ink), 1)), abs=1.5)


@given(st.integers(0, 2**32 - 1), st.integers(0, 60))
@settings(max_examples=30)
def test_it_stays_within_the_colours_given(seed, count):
    linear = np.random.default_rng(seed).random((count, 3))
    found = evened(linear)
    assert found.shape == linear.shape
    assert ((found >= -1e-9) & (found <= 1 + 1e-6)).all()
    assert len(np.unique(found, axis=0)) <= len(np.unique(linear, axis=0))


def test_one_colour_stays_itself():
    linear = np.tile([0.2, 0.3, 0.4], (50, 1))
    assert evened(linear) == pytest.approx(linear, abs=1e-9)


def test_many_shades_are_taken_together_first():
    rng = np.random.default_rng(3)
    linear = linear_from_lab(np.array([30.0, 0, 0]) + rng.normal(0, 4, (5_000, 3)))
    assert len(np.unique(codes_from_linear(evened(linear)), axis=0)) <= 4
