"""Beads that touch, against the connected components of scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from size_levels import random_levels, rings
from strategies import grids
from touching import components

from shared.domes import domes_of, raised_beads
from shared.grid import Grid


@given(grids(), st.integers(0, 1000), st.floats(0, 1))
def test_domes_of_one_level_are_the_components(grid, seed, share):
    levels = (np.random.default_rng(seed).random(grid.count) < share).astype(int)
    groups = domes_of(grid, levels)
    assert {frozenset(group.tolist()) for group in groups} == components(grid, raised_beads(levels))
    assert all((np.diff(group) > 0).all() for group in groups)
    firsts = [int(group[0]) for group in groups]
    assert firsts == sorted(firsts)


@pytest.mark.parametrize("shape", [(2, 4000), (400, 400)])
def test_a_long_or_large_dome_is_one(shape):
    grid = Grid(*shape)
    levels = (grid.row_of > grid.rows // 10).astype(int)
    (dome,) = domes_of(grid, levels)
    assert dome.tolist() == np.flatnonzero(levels).tolist()


def test_raised_is_above_the_lowest_size_that_is_there():
    levels = random_levels(Grid(9, 20), 3)
    assert (raised_beads(levels) == (levels > 0)).all()
    assert (raised_beads(levels + 1) == (levels > 0)).all()
    assert not raised_beads(np.full(4, 2)).any()


def test_a_stray_bead_is_no_ground():
    grid = Grid(17, 100)
    levels = np.maximum(rings(grid, (25, 9), (75, 9), radii=(1.5, 3.5)), 1)
    assert len(domes_of(grid, levels)) == 2
    levels[0] = 0
    assert {frozenset(group.tolist()) for group in domes_of(grid, levels)} == components(grid, levels > 1)


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
        assert len(components(grid, chosen)) <= np.count_nonzero(tops)


@pytest.mark.parametrize(("apart", "domes"), [(6, 1), (8, 2), (20, 2)])
def test_tops_near_to_each_other_are_one_dome(apart, domes):
    """Tops of one bead each, ``apart / 2`` contacts down a column from each other."""
    grid = Grid(9, 60)
    levels = rings(grid, (21, 5), (21 + apart, 5), radii=(0.5, 12.0))
    assert len(domes_of(grid, levels)) == domes
