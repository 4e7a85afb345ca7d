from dataclasses import replace

import numpy as np
import pytest
from size_levels import random_levels, rings, ten_domes
from strategies import SIZES

from convert.surface import continuation
from convert.surface.overlap import find_overlaps, hole_axes
from convert.surface.solve import solve_surface
from convert.surface.spring_net import make_net
from convert.surface.stitch_problems import (
    BEYOND,
    find_overhangs,
    find_overlapping,
    find_skips,
    find_stitch_problems,
    find_tight,
    find_wide_areas,
)
from convert.surface.support import Tabletop
from convert.surface.surface import Surface
from shared.beads import BeadSizes
from shared.grid import Grid


def solved(grid, levels):
    return solve_surface(grid, SIZES, levels)


def wide_areas(surface):
    return tuple(problem for problem, _ in find_wide_areas(surface))


def placed(grid, levels, moved_mm):
    """Flat work with some beads moved by hand."""
    flat = solve_surface(grid, SIZES, np.zeros(grid.count, dtype=int))
    centres = flat.centres_mm.copy()
    for (row, column), direction in moved_mm.items():
        centres[grid.bead_at(np.array(row), np.array(column))] += direction
    return Surface(grid, SIZES, levels, flat.net, flat.ground, centres, True, 0)


def test_one_size_step_is_no_skip_and_two_are():
    grid = Grid(9, 30)
    for top, places in ((1, 0), (2, 1), (3, 1)):
        levels = np.zeros(grid.count, dtype=int)
        levels[grid.bead_at(np.array(14), np.array(6))] = top
        found = find_skips(solved(grid, levels))
        assert len(found) == places
    (skip,) = found
    assert (skip.rows, skip.columns, skip.count) == ((12, 16), (5, 7), 6)
    assert skip.worst == pytest.approx(np.log(4.0 / 1.6))
    assert skip.sentence.startswith("rows 12 to 16, columns 5 to 7: 6 pairs of neighbours skip a size, such as ")
    assert skip.sentence.endswith("; put a round 11/0 and a round 8/0 between.")


def test_graded_domes_skip_nothing_fit_and_do_not_overlap():
    grid, levels = ten_domes()
    surface = solved(grid, levels)
    assert find_skips(surface) == ()
    assert wide_areas(surface) == ()
    assert find_overlapping(surface) == ()
    assert all(abs(problem.worst) < BEYOND for problem in find_tight(surface))


def test_a_stretched_contact_is_named_with_its_place():
    grid = Grid(9, 30)
    surface = placed(grid, np.zeros(grid.count, dtype=int), {(29, 5): (0, -0.4, 0)})
    found = [problem for problem in find_tight(surface) if problem.worst < 0]
    assert len(found) == 1
    assert found[0].rows == (27, 30)
    assert found[0].columns == (4, 6)
    assert found[0].worst == pytest.approx(-0.4 / 1.6)
    assert "the cylinder 11/0 in row 27 column 5 and the cylinder 11/0 in row 29 column 5" in found[0].sentence
    assert "pressed together by 25.0%" in found[0].sentence
    assert "beyond what graded beads bear" in found[0].sentence


def test_strain_at_the_edge_says_to_move_the_dome():
    grid = Grid(9, 30)
    surface = placed(grid, np.zeros(grid.count, dtype=int), {(15, 1): (0, 0.1, 0)})
    (problem,) = find_tight(surface)
    assert "tight" in problem.sentence
    assert "two columns in from the edge" in problem.sentence
    assert find_tight(placed(grid, np.zeros(grid.count, dtype=int), {})) == ()


def test_a_zone_is_too_wide_when_its_wall_would_pass_the_vertical():
    # By hand: from 11/0 to 8/0 the step is ln((2.0 x 3.0) / (1.45 x 2.1)) / 2 = 0.339, so 2.5 beads fit and 3.5 do not.
    grid = Grid(33, 81)
    for radius, places in ((2.5, 0), (3.5, 1)):
        levels = 1 + rings(grid, (41, 17), radii=(radius,))
        found = wide_areas(solved(grid, levels))
        assert len(found) == places
    (wide,) = found
    assert wide.worst == pytest.approx(3.5 * 0.33913, abs=1e-4)
    assert (wide.rows, wide.columns, wide.count) == ((35, 47), (14, 20), 37)
    assert "about 7 beads across" in wide.sentence
    assert "make it at most 5 across" in wide.sentence


def test_half_a_zone_on_the_edge_is_as_wide_as_a_whole_one():
    grid = Grid(17, 81)
    (wide,) = wide_areas(solved(grid, 1 + rings(grid, (41, 1), radii=(3.5,))))
    assert wide.worst == pytest.approx(3.5 * 0.33913, abs=1e-4)
    assert wide.columns == (1, 4)


def test_overhanging_walls_are_those_that_are_flagged():
    # The flag comes from sizes alone; the solved net must bear it out.
    grid = Grid(33, 101)
    for radii, flagged in (((0.5, 1.5, 2.5), False), ((4.5, 5.5, 6.5), True)):
        surface = solved(grid, rings(grid, (51, 17), radii=radii))
        corner = surface.centres_mm[surface.net.triangles]
        normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
        up = normal[:, 2] * np.sign(np.median(normal[:, 2]))
        assert (up < 0).any() == flagged
        assert (wide_areas(surface) != ()) == flagged


@pytest.mark.parametrize(("shear", "degrees"), [(0.0, None), (1.1, None), (1.4, 22)])
def test_a_wall_that_leans_out_is_named_with_its_angle(shear, degrees):
    # A fold across the work, of slope 1 when turn_upright, sheared along the work by so much of its height:
    # one side then runs 1 - shear forward while it climbs 1. It leans by atan 0.1 = 6, or by atan 0.4 = 22 degrees.
    grid = Grid(9, 41)
    along = grid.row_of - 21
    height = 0.8 * np.maximum(0, 8 - np.abs(along))
    moves = {
        (int(row), int(column)): (0, -shear * up, up)
        for row, column, up in zip(grid.row_of, grid.column_of, height, strict=True)
    }
    levels = np.where(np.abs(along) < 4, 1, 0)
    found = find_overhangs(placed(grid, levels, moves))
    if degrees is None:
        assert found == ()
        return
    (wall,) = found
    assert wall.worst == pytest.approx(np.sin(np.arctan(shear - 1)), abs=1e-9)
    assert (wall.rows, wall.columns) == ((13, 21), (1, 9))
    assert f"by {degrees} degrees" in wall.sentence


def test_a_leaning_wall_is_told_though_a_wide_zone_lies_across_its_corner():
    # A small steep dome, and a wide ridge that runs slanting past it: their rows and columns overlap, they do not.
    grid = Grid(41, 121)
    place = np.stack([grid.column_of, 0.31 * grid.row_of], axis=1)
    away = np.hypot(*(place - (33, 0.31 * 25)).T)
    foot, along = np.array([8, 6.2]), np.array([25, 27.3])
    share = np.clip((place - foot) @ along / (along @ along), 0, 1)
    aside = np.hypot(*(place - foot - share[:, None] * along).T)
    small, ridge = ((far[:, None] < radii).sum(axis=1) for far, radii in ((away, (1, 2, 3)), (aside, (2, 3.5, 5))))
    assert not (small & ridge).any()
    found = find_stitch_problems(solved(grid, np.maximum(small, ridge)))
    walls = [problem for problem in find_stitch_problems(solved(grid, small)) if problem.kind == "overhang"]
    (wide, *_) = [problem for problem in found if problem.kind == "width"]
    assert wide.rows[0] < walls[0].rows[0] < walls[0].rows[1] < wide.rows[1]
    assert wide.columns[0] < walls[0].columns[0] <= wide.columns[1]
    assert [(problem.rows, problem.columns) for problem in found if problem.kind == "overhang"] == [
        (problem.rows, problem.columns) for problem in walls
    ]


def test_beads_that_pass_through_one_another_are_named():
    grid = Grid(9, 30)
    levels = np.zeros(grid.count, dtype=int)
    assert find_overlapping(placed(grid, levels, {})) == ()
    # Two cylinders 1.3 mm long whose centres were 2.6 mm apart: 0.2 mm in is allowed, 0.5 mm is not.
    assert find_overlaps(placed(grid, levels, {(14, 4): (1.5, 0, 0)})).pairs.size == 0
    surface = placed(grid, levels, {(14, 4): (1.8, 0, 0)})
    first = int(grid.bead_at(np.array(14), np.array(4)))
    assert find_overlaps(surface).pairs.tolist() == [[first, first + 1]]
    (problem,) = find_overlapping(surface)
    assert problem.rows == (14, 14)
    assert problem.columns == (4, 6)
    assert problem.worst == pytest.approx((1.3 - 0.8) / 1.6)
    assert "pass" in problem.sentence


def test_holes_lie_along_the_row():
    for hand, direction in (("right", 1), ("left", -1)):
        for grid in (Grid(9, 30, hand=hand), Grid(2, 9, hand=hand), Grid(8, 7, hand=hand)):
            surface = placed(grid, np.zeros(grid.count, dtype=int), {})
            expected = np.broadcast_to([direction, 0, 0], (grid.count, 3))
            assert np.abs(hole_axes(surface) * direction) == pytest.approx(np.abs(expected), abs=1e-12)
    flat = placed(Grid(8, 7), np.zeros(Grid(8, 7).count, dtype=int), {})
    folded = replace(flat, centres_mm=flat.centres_mm * [0, 1, 1])
    assert hole_axes(folded).tolist() == [[1, 0, 0]] * len(folded.levels)


def test_a_shape_that_did_not_settle_is_judged_by_its_sizes_only(monkeypatch):
    monkeypatch.setattr(continuation, "MOST_STEPS", 3)
    grid = Grid(9, 30)
    levels = np.zeros(grid.count, dtype=int)
    levels[grid.bead_at(np.array(14), np.array(6))] = 3
    surface = solved(grid, levels)
    assert not surface.converged
    assert {problem.kind for problem in find_stitch_problems(surface)} == {"skip"}


def test_beads_that_pass_through_one_another_are_found_among_all_pairs(monkeypatch):
    grid = Grid(12, 30)
    levels = random_levels(grid, 2)
    centres = np.random.default_rng(4).uniform(0, 25, (grid.count, 3))
    net = make_net(grid, SIZES, levels)
    surface = Surface(grid, SIZES, levels, net, Tabletop(), centres, converged=True, iterations=1)
    found = find_overlaps(surface)
    every = np.stack(np.triu_indices(grid.count, 1), axis=1)
    apart = every[(grid.neighbours[every[:, 0]] != every[:, 1:]).all(axis=1)]
    monkeypatch.setattr("convert.surface.overlap._near", lambda *_: [apart])
    expected = find_overlaps(surface)
    assert len(found.pairs) > 10
    for ours, theirs in zip(found, expected, strict=True):
        np.testing.assert_array_equal(ours, theirs)


@pytest.mark.parametrize(("log_ratio", "places"), [(0.44, 0), (0.46, 1)])
def test_a_level_is_skipped_where_diameters_differ_by_more_than_45_hundredths_of_a_logarithm(log_ratio, places):
    flat = SIZES.sizes[0]
    large = replace(SIZES.sizes[2], diameter_mm=flat.diameter_mm * np.exp(log_ratio))
    grid = Grid(5, 12)
    levels = (np.arange(grid.count) == grid.bead_at(np.array(6), np.array(2))).astype(int)
    assert len(find_skips(solve_surface(grid, BeadSizes((flat, large)), levels))) == places
