import numpy as np
import pytest

from convert.cells.mean_shift import unify_shades
from shared.colour import codes_from_linear, lab_from_linear, linear_from_lab


def test_shades_of_two_inks_become_two_colours_near_the_middle_of_each():
    rng = np.random.default_rng(2)
    inks = np.array([[20.0, 5, -15], [45.0, 50, 30]])
    of = rng.integers(0, 2, 300)
    found = unify_shades(linear_from_lab(inks[of] + rng.normal(0, 2.5, (300, 3))))
    assert len(np.unique(codes_from_linear(found), axis=0)) == 2
    for ink in (0, 1):
        assert lab_from_linear(found[of == ink]) == pytest.approx(np.tile(inks[ink], (np.sum(of == ink), 1)), abs=1.5)


def steps_uphill(found, lab):
    """How far one more step of the mean shift would move each colour."""
    pull = np.exp(-((found[:, None] - lab) ** 2).sum(axis=2) / (2 * 8.0**2))
    return np.linalg.norm((pull[..., None] * lab).sum(axis=1) / pull.sum(axis=1)[:, None] - found, axis=1)


@pytest.mark.parametrize("seed", range(6))
def test_each_shade_comes_to_where_its_crowd_is_densest(seed):
    """Further steps hardly move what was found, though tops of one crowd are joined; they would move what was given."""
    lab = np.random.default_rng(seed).normal([55, 0, 0], [10, 8, 8], (60, 3))
    found = lab_from_linear(unify_shades(np.clip(linear_from_lab(lab), 0, 1)))
    assert steps_uphill(found, lab).max() < 3 < np.median(steps_uphill(lab, lab))
    assert len(np.unique(found.round(6), axis=0)) < 20


def test_no_colours_at_all_stay_none():
    assert unify_shades(np.zeros((0, 3))).shape == (0, 3)


def test_one_colour_stays_itself():
    linear = np.tile([0.2, 0.3, 0.4], (50, 1))
    assert unify_shades(linear) == pytest.approx(linear, abs=1e-9)


def test_many_shades_are_taken_together_first():
    rng = np.random.default_rng(3)
    linear = linear_from_lab(np.array([30.0, 0, 0]) + rng.normal(0, 4, (5_000, 3)))
    assert len(np.unique(codes_from_linear(unify_shades(linear)), axis=0)) <= 4
