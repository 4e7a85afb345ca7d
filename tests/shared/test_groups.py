"""Beads that touch, against the connected components of scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from size_levels import random_levels, rings
from strategies import grids

from shared.domes import domes_of, raised_beads, touching_groups
from shared.grid import Grid


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


def test_a_stray_bead_is_no_ground():
    grid = Grid(17, 100)
    levels = np.maximum(rings(grid, (25, 9), (75, 9), radii=(1.5, 3.5)), 1)
    assert len(domes_of(grid, levels)) == 2
    levels[0] = 0
    assert [group.tolist() for group in domes_of(grid, levels)] == [
        group.tolist() for group in touching_groups(grid, levels > 1)
    ]


@given(grids(), st.integers(0, 1000))
def test_domes_hold_every_raised_bead_once_and_each_hangs_together(grid, seed):
    levels = random_levels(grid, seed)
    found = domes_of(grid, levels)
    members = np.concatenate([*found, np.zeros(0, dtype=int)])
    assert sorted(members.tolist()) == np.flatnonzero(raised_beads(levels)).tolist()
    for dome in found:
        chosen = np.zeros(grid.count, dtype=bool)
        chosen[dome] = True
        tops = levels[dome] == levels[dome].max()
        assert len(touching_groups(grid, chosen)) <= np.count_nonzero(tops)


@pytest.mark.parametrize(("apart", "domes"), [(6, 1), (8, 2), (20, 2)])
def test_tops_near_to_each_other_are_one_dome(apart, domes):
    """Tops of one bead each, ``apart / 2`` contacts down a column from each other."""
    grid = Grid(9, 60)
    levels = rings(grid, (21, 5), (21 + apart, 5), radii=(0.5, 12.0))
    assert len(domes_of(grid, levels)) == domes
