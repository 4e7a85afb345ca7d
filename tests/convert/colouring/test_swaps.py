from itertools import combinations

import numpy as np
import pytest

from convert.colouring.swaps import swapped
from shared.ciede2000 import ciede2000


def total(points, weights, palette):
    return float((weights * ciede2000(points[:, None], palette).min(axis=1)).sum())


def case(seed, candidates=9, colours=3):
    rng = np.random.default_rng(seed)
    points = rng.uniform([10, -40, -40], [95, 40, 40], (60, 3))
    return points, rng.uniform(0.5, 9, 60), points[:colours], points[rng.choice(60, candidates, replace=False)]


@pytest.mark.parametrize("seed", range(12))
def test_no_single_swap_is_left_that_helps(seed):
    points, weights, palette, candidates = case(seed)
    ours = swapped(points, weights, palette, candidates)
    reached = total(points, weights, ours)
    assert reached <= total(points, weights, palette) + 1e-3
    for leaving in range(len(ours)):
        for candidate in candidates:
            other = ours.copy()
            other[leaving] = candidate
            assert total(points, weights, other) >= reached * (1 - 2e-4)


def test_swaps_come_within_four_per_cent_of_the_best_choice():
    """Against all choices of 3 among 9 candidates; exact in most cases."""
    gaps = []
    for seed in range(20):
        points, weights, _, candidates = case(seed)
        ours = total(points, weights, swapped(points, weights, candidates[:3], candidates))
        best = min(total(points, weights, candidates[list(three)]) for three in combinations(range(9), 3))
        gaps.append(ours / best - 1)
    assert max(gaps) <= 0.04
    assert np.median(gaps) <= 1e-5


def test_one_colour_can_be_swapped_and_inputs_stay():
    points, weights, palette, candidates = case(1, colours=1)
    before = palette.copy()
    ours = swapped(points, weights, palette, candidates)
    assert np.array_equal(palette, before)
    assert total(points, weights, ours) == pytest.approx(
        min(total(points, weights, chosen) for chosen in (before, *candidates[:, None])), rel=1e-4
    )
