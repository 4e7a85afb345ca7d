import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from size_levels import random_levels, rings, ten_domes
from strategies import SIZES, grids

from convert.surface.measure import (
    angle_defects,
    extent_mm,
    find_domes,
    group_numbers,
    lengths_mm,
    read_figures,
    strain,
)
from convert.surface.solve import solve_surface
from convert.surface.spring_net import make_net
from shared.grid import Grid


@given(grids(drops=(1,)), st.integers(0, 2**32 - 1))
def test_angle_defects_add_up_to_a_full_turn(grid, seed):
    # Gauss and Bonnet: curvature and the turning of the border sum to 2π χ, χ = 1 for a disc; whatever the shape.
    levels = random_levels(grid, seed)
    net = make_net(grid, SIZES, levels)
    flat = np.column_stack([grid.centres_mm(1.3, 1.6), np.zeros(grid.count)])
    crumpled = flat + np.random.default_rng(seed).normal(0, 0.4, flat.shape)
    for length in (net.rest_mm, lengths_mm(net, crumpled)):
        assert angle_defects(net, length)[0].sum() == pytest.approx(2 * np.pi, abs=1e-9)


def test_flat_work_has_no_curvature_and_domes_have():
    grid = Grid(17, 41)
    levels = rings(grid, (21, 9), radii=(0.5, 2.5, 4.5))
    flat, border = angle_defects(*with_rest(grid, np.zeros_like(levels)))
    assert np.abs(flat[~border]).max() < 1e-12
    curved, _ = angle_defects(*with_rest(grid, levels))
    peak = grid.bead_at(np.array(21), np.array(9))
    assert curved[peak] > 0.1
    # Each zone up to its rim is curved like a dome; with the ring outside it, which turns back, it is flat.
    for radius in (0.5, 2.5, 4.5):
        assert curved[rings(grid, (21, 9), radii=(radius,)) == 1].sum() > 1
    assert curved[rings(grid, (21, 9), radii=(5.5,)) == 1].sum() == pytest.approx(0, abs=1e-9)


def with_rest(grid, levels):
    net = make_net(grid, SIZES, levels)
    return net, net.rest_mm


def test_every_core_is_curved_like_a_dome_and_every_solved_net_closes():
    grid, levels = ten_domes(100)
    surface = solve_surface(grid, SIZES, levels)
    wanted, border = angle_defects(surface.net, surface.net.rest_mm)
    found, _ = angle_defects(surface.net, lengths_mm(surface.net, surface.centres_mm))
    assert found.sum() == pytest.approx(2 * np.pi, abs=1e-9)
    assert (wanted[levels == 3] > 0.3).all()
    assert (found[levels == 3] > 0.3).all()
    far = rings(grid, *((row, 9) for row in range(11, 100, 20)), radii=(5.5,)) == 0
    assert np.abs(wanted[far & ~border]).max() < 1e-12


def test_each_dome_is_found_where_it_was_put():
    grid, levels = ten_domes(100)
    found = find_domes(solve_surface(grid, SIZES, levels))
    assert [dome.peak_row for dome in found] == [11, 31, 51, 71, 91]
    assert {dome.peak_column for dome in found} == {9}
    assert [dome.rows for dome in found] == [(row - 4, row + 4) for row in range(11, 100, 20)]
    assert {dome.columns for dome in found} == {(7, 11)}
    assert {dome.beads for dome in found} == {19}
    heights = [dome.height_mm for dome in found]
    assert np.ptp(heights) < 0.02 * max(heights)


@pytest.mark.parametrize(
    ("radii", "height_mm", "bending", "share"),
    [
        ((0.5, 1.5, 2.5), 5.1, 0.01, 0.015),
        ((0.5, 2.5, 4.5), 7.8, 0.01, 0.015),
        ((1.5, 3.5, 5.5), 10.3, 0.01, 0.015),
        ((0.5, 2.5, 4.5), 7.8, 0.002, 0.1),
        ((0.5, 2.5, 4.5), 7.8, 0.1, 0.05),
    ],
)
def test_heights_are_those_of_an_independent_trial(radii, height_mm, bending, share):
    # A trial of the same model with another solver; heights depend little on bending.
    grid = Grid(17, 61)
    surface = solve_surface(grid, SIZES, rings(grid, (31, 9), radii=radii), bending=bending)
    (dome,) = find_domes(surface)
    assert dome.height_mm == pytest.approx(height_mm, rel=share)


def test_trade_facts_of_peyote():
    # Common practice, no source: a graded diamond rises, one size lies flat, domes do not make a strip longer.
    grid, levels = ten_domes()
    found = read_figures(solve_surface(grid, SIZES, levels))
    assert len(found.domes) == 10
    assert all(dome.height_mm > 3 for dome in found.domes)
    assert found.length_mm <= found.flat_length_mm
    assert found.width_mm <= found.flat_width_mm
    assert (found.flat_width_mm, found.flat_length_mm) == pytest.approx((17 * 1.3, 201 * 0.8))
    flat = read_figures(solve_surface(grid, SIZES, np.zeros_like(levels)))
    assert flat.domes == ()
    assert flat.length_mm == pytest.approx(flat.flat_length_mm, abs=1e-9)


def test_domes_whose_feet_touch_are_counted_by_their_tops():
    grid = Grid(17, 200)
    centres = [(row, 9) for row in range(21, 200, 20)]
    levels = rings(grid, *centres, radii=(1.5, 3.5, 5.5))
    surface = solve_surface(grid, SIZES, levels)
    touching = surface.net.contacts[(levels[surface.net.contacts] > 0).all(axis=1)]
    assert len(np.unique(group_numbers(grid.count, touching)[levels > 0])) == 1
    found = find_domes(surface)
    assert [(dome.peak_row, dome.peak_column) for dome in found] == centres
    assert sum(dome.beads for dome in found) == np.count_nonzero(levels)


@pytest.mark.parametrize("column", [1, 9, 17])
def test_a_dome_is_measured_over_the_plane_of_flat_beads_two_contacts_from_it(column):
    """At an edge as in the middle; both edges give the same, for the work is symmetric."""
    grid = Grid(17, 61)
    levels = rings(grid, (31, column), radii=(0.5, 1.5, 2.5))
    surface = solve_surface(grid, SIZES, levels)
    (dome,) = find_domes(surface)
    touching = grid.neighbours
    steps = np.where(levels > 0, 0, 99)
    for _ in range(2):
        steps = np.minimum(steps, np.where(touching >= 0, steps[touching], 99).min(axis=1) + 1)
    x, y, z = surface.centres_mm[steps == 2].T
    plane = np.linalg.lstsq(np.stack([np.ones_like(x), x, y], axis=1), z, rcond=None)[0]
    raised = surface.centres_mm[levels > 0]
    over = raised[:, 2] - plane @ np.stack([np.ones(len(raised)), *raised[:, :2].T])
    assert dome.height_mm == pytest.approx(over.max(), abs=1e-9)
    assert dome.columns == (max(1, column - 2), min(17, column + 2))
    if column == 17:
        (other,) = find_domes(solve_surface(grid, SIZES, rings(grid, (31, 1), radii=(0.5, 1.5, 2.5))))
        assert other.height_mm == pytest.approx(dome.height_mm, abs=1e-3)


def test_work_that_is_raised_all_over_has_a_dome_without_a_ring():
    grid = Grid(6, 8)
    levels = np.where(grid.row_of < 5, 2, 1)
    (dome,) = find_domes(solve_surface(grid, SIZES, levels))
    assert np.isfinite(dome.height_mm)


def test_strain_is_nought_at_rest_length_and_a_tenth_beyond():
    grid = Grid(6, 8)
    net = make_net(grid, SIZES, np.zeros(grid.count, dtype=int))
    centres = np.column_stack([grid.centres_mm(1.3, 1.6), np.zeros(grid.count)])
    assert strain(net, centres) == pytest.approx(np.zeros(len(net.contacts)), abs=1e-12)
    assert strain(net, 1.1 * centres) == pytest.approx(np.full(len(net.contacts), 0.1))


@settings(max_examples=20)
@given(st.floats(-3, 3), st.integers(0, 100))
def test_size_does_not_depend_on_how_the_work_lies(angle, seed):
    grid = Grid(7, 30)
    surface = solve_surface(grid, SIZES, np.zeros(grid.count, dtype=int))
    turn = np.array([[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]])
    moved = surface.centres_mm @ turn.T + [seed, -seed, 0]
    turned = type(surface)(grid, SIZES, surface.levels, surface.net, surface.ground, moved, True, 0)
    assert extent_mm(turned) == pytest.approx(extent_mm(surface), abs=1e-9)
