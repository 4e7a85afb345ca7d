"""Beads that touch, against the connected components of scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from relief import random_levels
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from strategies import grids

from shared.grid import Grid
from shared.groups import raised_beads, touching_groups


def components(grid, chosen):
    bead, contact = ((grid.neighbours >= 0) & chosen[:, None]).nonzero()
    other = grid.neighbours[bead, contact]
    kept = chosen[other]
    joined = coo_array((np.ones(kept.sum()), (bead[kept], other[kept])), shape=(grid.count, grid.count))
    label = connected_components(joined, directed=False)[1]
    return {frozenset(np.flatnonzero(chosen & (label == one)).tolist()) for one in set(label[chosen].tolist())}


@given(grids(), st.integers(0, 1000), st.floats(0, 1))
def test_groups_are_the_components(grid, seed, share):
    chosen = np.random.default_rng(seed).random(grid.count) < share
    groups = touching_groups(grid, chosen)
    assert {frozenset(group.tolist()) for group in groups} == components(grid, chosen)
    assert all((np.diff(group) > 0).all() for group in groups)
    firsts = [int(group[0]) for group in groups]
    assert firsts == sorted(firsts)


@pytest.mark.parametrize("shape", [(1, 4000), (400, 400)])
def test_a_long_or_large_group_is_one(shape):
    grid = Grid(*shape)
    (group,) = touching_groups(grid, np.ones(grid.count, bool))
    assert group.tolist() == list(range(grid.count))


def test_raised_is_above_the_lowest_rung_that_is_there():
    levels = random_levels(Grid(9, 20), 3)
    assert (raised_beads(levels) == (levels > 0)).all()
    assert (raised_beads(levels + 1) == (levels > 0)).all()
    assert not raised_beads(np.full(4, 2)).any()
