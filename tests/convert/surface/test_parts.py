import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from size_levels import rings
from strategies import LADDER

from convert.surface import continuation, large, solve
from convert.surface.measure import read_figures, strain
from convert.surface.parts import Window, WorkPart, blend, covered_mm, cut_out_domes
from convert.surface.solve_net import solve_bead_by_bead
from shared.grid import Grid

GRIDS = st.builds(
    Grid,
    columns=st.integers(3, 40),
    rows=st.integers(4, 60),
    hand=st.sampled_from(["right", "left"]),
    start=st.sampled_from(["top", "bottom"]),
)


def field(columns=60, rows=150):
    """A large and two small domes, far from each other, in no symmetry."""
    grid = Grid(columns, rows)
    small = rings(grid, (118, 12), (112, 47), radii=(0.5, 1.5))
    return grid, np.maximum(small, rings(grid, (41, 30), radii=(2, 4, 6)))


@settings(max_examples=40, deadline=None)
@given(GRIDS, st.data())
def test_beads_of_a_part_touch_as_they_do_in_the_work(grid, data):
    top, left = data.draw(st.integers(1, grid.rows)), data.draw(st.integers(1, grid.columns))
    window = Window(top, data.draw(st.integers(top, grid.rows)), left, data.draw(st.integers(left, grid.columns)))
    part = WorkPart.of(grid, window, fade=2, frame=3)
    inside = np.zeros(grid.count + 1, dtype=bool)
    inside[part.beads] = True
    beside = grid.neighbours[part.beads]
    ours = np.where(part.grid.neighbours >= 0, part.beads[part.grid.neighbours], -1)
    np.testing.assert_array_equal(ours, np.where(inside[beside], beside, -1))
    row, column = grid.row_of, grid.column_of
    within = (row >= window.top) & (row <= window.bottom) & (column >= window.left) & (column <= window.right)
    weight = np.zeros(grid.count)
    weight[part.beads] = part.weight
    np.testing.assert_array_equal(weight == 1, within)
    down = np.maximum(window.top - row, row - window.bottom)
    across = np.maximum(window.left - column, column - window.right)
    assert not weight[(down > 4) | (across > 2)].any()


@settings(max_examples=20, deadline=None)
@given(GRIDS, st.floats(0.5, 2))
def test_what_beads_cover_adds_up(grid, wider):
    base = LADDER.flat
    flat = grid.centres_mm(base.length_mm * wider, base.diameter_mm)
    across, down = covered_mm(grid, np.column_stack([flat, np.zeros(grid.count)]), base)
    beside = (grid.neighbours[:, 2:] >= 0).any(axis=1)
    assert across[beside] == pytest.approx(base.length_mm * wider)
    assert down == pytest.approx(base.diameter_mm)


def test_each_dome_is_a_part_and_those_near_each_other_are_one():
    grid = Grid(60, 150)
    raised = np.zeros(grid.count, dtype=bool)
    places = [(21, 10), (21, 17), (101, 50)]
    for row, column in places:
        raised[grid.bead_at(np.array(row), np.array(column + (column + row + 1) % 2))] = True
    found = cut_out_domes(grid, raised)
    assert [int(raised[part.beads[part.weight == 1]].sum()) for part in found] == [2, 1]
    assert sum(int(raised[part.beads].sum()) for part in found) == 3


def test_parts_fade_into_the_whole_by_their_weights():
    grid = Grid(30, 60)
    parts = [WorkPart.of(grid, Window(11, 21, 8, at), fade=4, frame=8) for at in (14, 16)]
    both = blend(np.zeros(grid.count), [(part, np.full(part.grid.count, 3.0)) for part in parts])
    assert both.min() == 0
    assert both.max() == pytest.approx(3)
    assert both[parts[0].beads[parts[0].weight == 1]] == pytest.approx(3)


def test_domes_solved_by_themselves_are_those_of_the_whole_net(monkeypatch):
    grid, levels = field()
    whole = solve.solve_surface(grid, LADDER, levels)
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    ours, again = (solve.solve_surface(grid, LADDER, levels) for _ in range(2))
    np.testing.assert_array_equal(ours.centres_mm, again.centres_mm)
    assert (ours.coarsening.domes, ours.coarsening.alone) == (3, 3)
    one, other = read_figures(whole), read_figures(ours)
    assert [dome.height_mm for dome in other.domes] == pytest.approx([dome.height_mm for dome in one.domes], rel=0.01)
    assert other.length_mm == pytest.approx(one.length_mm, abs=0.1)
    assert other.width_mm == pytest.approx(one.width_mm, abs=0.1)
    strains = [strain(each.net, each.centres_mm) for each in (whole, ours)]
    assert np.abs(strains[1] - strains[0]).max() < 0.02


def test_the_smallest_domes_are_solved_first(monkeypatch):
    grid, levels = field()
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    monkeypatch.setattr(large, "MOST_ALONE", 1600)
    steps = []
    found = solve.solve_surface(grid, LADDER, levels, progress=steps.append)
    assert (found.coarsening.domes, found.coarsening.alone) == (3, 2)
    assert "surface, dome 2 of 2" in steps
    full = read_figures(solve.solve_surface(*field_alone(levels, grid))).domes[-1].height_mm
    assert read_figures(found).domes[-1].height_mm == pytest.approx(full, rel=0.02)


def test_a_dome_that_does_not_come_to_rest_is_shown_by_the_coarsened_net_which_has_more_steps(monkeypatch):
    grid, levels = field()
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    monkeypatch.setattr(continuation, "MOST_STEPS", 5)
    found = solve.solve_surface(grid, LADDER, levels)
    assert found.converged
    assert (found.coarsening.domes, found.coarsening.alone) == (3, 0)
    monkeypatch.setattr(continuation, "MOST_COARSE_STEPS", 5)
    assert not solve.solve_surface(grid, LADDER, levels).converged


def field_alone(levels, grid):
    """Only the small domes."""
    return grid, LADDER, np.where(grid.row_of > 80, levels, 0)


def test_flat_work_far_from_a_dome_stays_flat_and_as_long(monkeypatch):
    grid = Grid(50, 240)
    levels = rings(grid, (31, 26), radii=(0.5,))
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    monkeypatch.setattr(large, "MOST_ALONE", 0)
    surface = solve.solve_surface(grid, LADDER, levels)
    assert surface.coarsening.alone == 0
    far = surface.centres_mm[grid.row_of > 120]
    flat = grid.centres_mm(LADDER.flat.length_mm, LADDER.flat.diameter_mm)[grid.row_of > 120]
    assert np.abs(far[:, 2]).max() < 1e-3
    assert np.ptp(far[:, :2], axis=0) == pytest.approx(np.ptp(flat, axis=0), abs=0.05)


def test_beads_pushed_out_of_rest_come_back_tile_by_tile(monkeypatch):
    """Those at rest stay, and across the seams between tiles nothing is strained more than elsewhere."""
    grid, levels = field(40, 90)
    cloths = []

    def kept(*words, **more):
        cloths.append(words[3])
        return solve_bead_by_bead(*words, **more)

    monkeypatch.setattr(solve, "solve_bead_by_bead", kept)
    rest = solve.solve_surface(grid, LADDER, levels)
    monkeypatch.setattr(large, "TILE", 16)

    def settled(from_mm):
        everywhere = np.ones(grid.count, dtype=bool)
        return large.settle_beads(grid, LADDER, levels, cloths[0], near_mm=from_mm.T, loose=everywhere).T

    def off(centres_mm):
        return np.abs(strain(rest.net, centres_mm) - strain(rest.net, rest.centres_mm)).max()

    assert np.abs(settled(rest.centres_mm) - rest.centres_mm).max() < 1e-3
    pushed = rest.centres_mm + np.random.default_rng(1).uniform(-0.2, 0.2, rest.centres_mm.shape)
    assert off(pushed) > 0.2
    assert off(settled(pushed)) < 0.01


def test_another_dome_in_the_frame_of_a_part_is_flat_there(monkeypatch):
    grid = Grid(60, 150)
    levels = rings(grid, (75, 20), (75, 46), radii=(0.5, 2.5, 4.5))
    cloths = []
    monkeypatch.setattr(solve, "solve_bead_by_bead", lambda *words, **_: cloths.append(words[3]))
    solve.solve_surface(grid, LADDER, levels)
    part = WorkPart.of(grid, Window(58, 92, 12, 28), fade=4, frame=20)
    beyond = part.weight == 0
    assert levels[part.beads][beyond].any()
    own, sizes = part.alone(cloths[0], LADDER, levels, 0)
    assert not sizes[beyond].any()
    np.testing.assert_array_equal(sizes[~beyond], levels[part.beads][~beyond])
    assert (own.hold[beyond] == 1).all()
    assert np.ptp(own.rise[beyond]) == 0
    flat = beyond[own.net.contacts].all(axis=1)
    np.testing.assert_array_equal(own.net.rest_mm[flat], own.flat_rest_mm[flat])
