import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import grids

from convert.relief.levels import cut_levels, equal_thresholds
from shared.grid import Grid
from shared.size_steps import keep_size_step_rule

TOUCHING = {(2, 0), (-2, 0), (1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1)}
"""Rows and columns between two beads in contact; beads next to each other in one row are pairs of two-drop."""


def places(grid):
    """Row and column of each bead, found from the rule of the lattice: W - c + r is odd, of columns or of pairs."""
    return [
        (row, column)
        for row in range(1, grid.rows + 1)
        for column in range(1, grid.columns + 1)
        if (grid.columns // grid.drop - (column + grid.drop - 1) // grid.drop + row) % 2
    ]


def contacts(grid):
    """Pairs of beads that touch, by comparing each with each, shape (contacts, 2)."""
    beads = places(grid)
    pairs = [
        (one, other)
        for one, (row, column) in enumerate(beads)
        for other, (down, across) in enumerate(beads)
        if (down - row, across - column) in TOUCHING
    ]
    return np.array(pairs, dtype=int).reshape(-1, 2)


def steps_between(grid):
    """How many contacts lie between any two beads (SciPy's Floyd-Warshall); infinite where no way leads."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import floyd_warshall

    pairs = contacts(grid)
    near = coo_array((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(grid.count, grid.count))
    return floyd_warshall(near.tocsr(), unweighted=True)


@st.composite
def fields(draw, most_columns=7, most_rows=9):
    grid = draw(grids(most_columns=most_columns, most_rows=most_rows))
    top = draw(st.integers(0, 9))
    seed = draw(st.integers(0, 2**32 - 1))
    wanted = np.random.default_rng(seed).integers(0, top + 1, grid.count)
    if draw(st.booleans()):
        wanted[np.random.default_rng(seed).random(grid.count) < 0.85] = draw(st.sampled_from([0, top]))
    return grid, wanted


def broken(levels, pairs):
    return np.abs(levels[pairs[:, 0]] - levels[pairs[:, 1]]) > 1


@given(fields())
@settings(max_examples=200)
def test_ground_is_the_greatest_field_under_the_wanted_one(case):
    grid, wanted = case
    pairs = contacts(grid)
    ground = keep_size_step_rule(wanted, grid, slopes="trim")
    assert (ground <= wanted).all()
    assert not broken(ground, pairs).any()
    for bead in range(grid.count):
        raised = ground.copy()
        raised[bead] += 1
        assert raised[bead] > wanted[bead] or broken(raised, pairs).any()


@given(fields())
@settings(max_examples=200)
def test_peak_is_the_least_field_over_the_wanted_one(case):
    grid, wanted = case
    pairs = contacts(grid)
    peak = keep_size_step_rule(wanted, grid, slopes="widen")
    assert (peak >= wanted).all()
    assert not broken(peak, pairs).any()
    for bead in range(grid.count):
        lowered = peak.copy()
        lowered[bead] -= 1
        assert lowered[bead] < wanted[bead] or broken(lowered, pairs).any()


@given(fields())
@settings(max_examples=150)
def test_both_policies_are_distance_transforms(case):
    """The least of wanted level plus steps over all beads, and the greatest of wanted level less steps."""
    grid, wanted = case
    steps = steps_between(grid)
    assert np.array_equal(keep_size_step_rule(wanted, grid, slopes="trim"), (wanted + steps).min(axis=1))
    assert np.array_equal(keep_size_step_rule(wanted, grid, slopes="widen"), (wanted - steps).max(axis=1))


@given(fields(most_columns=12, most_rows=16))
def test_a_field_that_obeys_the_rule_stays(case):
    grid, wanted = case
    for slopes in ("trim", "widen"):
        kept = keep_size_step_rule(wanted, grid, slopes=slopes)
        for again in ("trim", "widen"):
            assert np.array_equal(keep_size_step_rule(kept, grid, slopes=again), kept)


def test_a_lone_high_bead_by_hand():
    """Level 3 wanted on one bead of 7 x 12: trim leaves it 1, widen puts 2 on its six neighbours and 1 around."""
    grid = Grid(7, 12)
    beads = places(grid)
    wanted = np.zeros(grid.count, dtype=np.int64)
    wanted[beads.index((6, 4))] = 3
    before = wanted.copy()
    assert np.array_equal(keep_size_step_rule(wanted, grid, slopes="trim"), np.minimum(wanted, 1))
    peak = keep_size_step_rule(wanted, grid, slopes="widen")
    assert np.bincount(peak).tolist() == [grid.count - 19, 12, 6, 1]
    around = {beads[bead] for bead in np.flatnonzero(peak == 2)}
    assert around == {(4, 4), (8, 4), (5, 3), (5, 5), (7, 3), (7, 5)}
    assert np.array_equal(wanted, before)


def test_one_low_bead_cuts_a_cone_by_hand():
    """Level 3 wanted everywhere but on one bead: trim rises around it by one a ring."""
    grid = Grid(9, 16)
    wanted = np.full(grid.count, 3)
    wanted[places(grid).index((8, 4))] = 0
    ground = keep_size_step_rule(wanted, grid, slopes="trim")
    assert np.bincount(ground).tolist() == [1, 6, 12, grid.count - 19]
    assert np.array_equal(keep_size_step_rule(wanted, grid, slopes="widen")[ground == 0], [2])


def test_a_large_field_is_quick_and_obeys():
    """400 x 600 with levels at random, every contact checked through bead numbers of the rule itself."""
    grid = Grid(400, 600)
    wanted = np.random.default_rng(9).integers(0, 4, grid.count)
    wanted[wanted < 3] = np.random.default_rng(10).integers(2, 4, int((wanted < 3).sum()))
    number = np.full((grid.rows + 1, grid.columns + 1), -1)
    number[tuple(np.array(places(grid)).T)] = np.arange(grid.count)
    for slopes in ("trim", "widen"):
        levels = keep_size_step_rule(wanted, grid, slopes=slopes)
        lattice = np.where(number >= 0, levels[number], -9)
        for one, other in (
            (lattice[2:], lattice[:-2]),
            (lattice[1:, 1:], lattice[:-1, :-1]),
            (lattice[1:, :-1], lattice[:-1, 1:]),
        ):
            both = (one >= 0) & (other >= 0)
            assert np.abs(one - other)[both].max() <= 1


def test_levels_at_and_around_cuts():
    """A height that reaches a cut has its level; rounding in the last digits does not decide."""
    heights = np.array([0, 0.2499, 0.25, 0.2501, 0.4999, 0.5, 0.75 - 1e-9, 0.75, 0.999, 1])
    levels = cut_levels(heights, (0.25, 0.5, 0.75))
    assert levels.tolist() == [0, 0, 1, 1, 1, 2, 3, 3, 3, 3]
    assert cut_levels(np.array([0.1, 0.3, 0.31, 1.0]), (0.3, 1.0)).tolist() == [0, 1, 1, 2]
    assert cut_levels(np.array([0.0, 0.5, 1.0]), ()).tolist() == [0, 0, 0]


@given(st.integers(1, 8), st.floats(0, 1))
def test_equal_cuts_make_levels_of_equal_breadth(levels, height):
    thresholds = equal_thresholds(levels)
    assert len(thresholds) == levels - 1
    level = int(cut_levels(np.array([height]), thresholds)[0])
    assert level == min(int(height * levels + 1e-6 * levels), levels - 1)


@pytest.mark.parametrize("slopes", ["trim", "widen"])
@pytest.mark.parametrize("grid", [Grid(2, 2), Grid(2, 9), Grid(3, 2)])
def test_narrow_and_short_works(grid, slopes):
    wanted = np.arange(grid.count)[::-1] * 2
    levels = keep_size_step_rule(wanted, grid, slopes=slopes)
    assert not broken(levels, contacts(grid)).any()
    assert levels.shape == (grid.count,)
