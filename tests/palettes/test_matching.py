"""Merging, choosing few candidates, and serving every size with the fewest, checked by trying everything."""

from itertools import combinations, product

import numpy as np
import pytest

from palettes.matching.candidates import least_cover
from palettes.matching.merge_cells import merge_cells
from palettes.matching.p_median import UNSERVED, PMedian, solve_p_median, total_cost


def serving(seed, *, places, sizes):
    """Which of some places serve which of some sizes; every size is served by one at least."""
    rng = np.random.default_rng(seed)
    serves = rng.random((places, sizes)) < rng.uniform(0.1, 0.45)
    serves[rng.integers(0, places, sizes), np.arange(sizes)] = True
    return serves


def masks_of(serves):
    return [int("".join(str(int(served)) for served in row[::-1]), 2) for row in serves]


@pytest.mark.parametrize("seed", range(60))
def test_no_fewer_places_serve_everything(seed):
    serves = serving(seed, places=9, sizes=5)
    required = [[], [frozenset({3})], [frozenset({1, 2}), frozenset({4})], [frozenset({1, 2}), frozenset({1})]][
        seed % 4
    ]
    cover = least_cover(masks_of(serves), required, 0b11111)
    tried = (set(chosen) for number in range(10) for chosen in combinations(range(9), number))
    best = next(c for c in tried if serves[sorted(c)].any(axis=0).all() and all(c & places for places in required))
    assert len(cover) == len(set(cover)) == len(best)
    assert serves[list(cover)].any(axis=0).all()
    assert all(places & set(cover) for places in required)


def test_what_nothing_serves_is_a_fault():
    with pytest.raises(ValueError, match="nothing serves"):
        least_cover([0b01, 0b01], [], 0b11)


@pytest.mark.parametrize("seed", range(12))
def test_no_swap_is_left_that_helps_and_what_is_required_stays(seed):
    rng = np.random.default_rng(seed)
    required = (frozenset({3}), frozenset({5, 6}))[: seed % 3]
    problem = PMedian(rng.integers(0, 1000, (60, 12)), required)
    chosen = solve_p_median(problem, 4)
    assert len(chosen) == 4
    assert all(sets & set(chosen) for sets in required)
    for leaving, entering in product(chosen, range(12)):
        other = {*chosen, entering} - {leaving}
        if entering not in chosen and all(sets & other for sets in required):
            assert total_cost(problem, sorted(other)) >= total_cost(problem, chosen)


@pytest.mark.parametrize("seed", [0, 1, 2, 1122, 4252, 4285])
def test_as_few_places_as_can_serve_everything_do(seed):
    """Found although the cheapest places serve too few sizes: the search alone ends in some of these without."""
    serves = serving(seed, places=34, sizes=6)
    differences = np.random.default_rng(seed).integers(0, 1000, (6, 34))
    costs = np.concatenate([np.where(serves.T, differences, 10**6), np.where(serves.T, 0, UNSERVED)])
    problem = PMedian(costs)
    cover = least_cover(masks_of(serves), [], 0b111111)
    assert total_cost(problem, solve_p_median(problem, len(cover), cover)) < UNSERVED


def test_merging_keeps_sizes_apart_and_every_cell_in():
    rng = np.random.default_rng(6)
    lab, levels = rng.normal([50, 0, 0], 12, (5000, 3)), rng.integers(0, 2, 5000)
    points = merge_cells(lab, levels, most=1500)
    assert len(points.lab) <= 1500
    assert np.array_equal(np.bincount(points.levels, points.weights), np.bincount(levels))
    assert points.weights @ points.lab / 5000 == pytest.approx(lab.mean(axis=0), abs=0.01)
    for point, level in zip(points.lab, points.levels, strict=True):
        assert np.linalg.norm(lab[levels == level] - point, axis=1).min() < 8 * 3**0.5


def test_few_cells_are_merged_only_when_equal():
    lab = np.array([[50.0, 0, 0], [50.0, 0, 0], [50.0, 0.1, 0], [50.0, 0, 0]])
    points = merge_cells(lab, np.array([0, 0, 0, 1]), most=4)
    assert sorted(points.weights.tolist()) == [1, 1, 2]
