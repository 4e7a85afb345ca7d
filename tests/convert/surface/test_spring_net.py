import numpy as np
import pytest
from hypothesis import given
from size_levels import random_levels
from strategies import SIZES, grids

from convert.surface.energy import bend_matrix, difference_matrix, multiply_rows
from convert.surface.spring_net import Net, make_net
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid


def flat(grid, size=SIZES.flat):
    return np.stack([*grid.centres_mm(size.length_mm, size.diameter_mm).T, np.zeros(grid.count)])


@given(grids(drops=(1,)))
def test_triangles_fill_the_work(grid):
    net = make_net(grid, SIZES, np.zeros(grid.count, dtype=int))
    # Euler: a disc, or a chain where there are no triangles.
    assert net.beads - len(net.contacts) + len(net.triangles) == 1
    corners = flat(grid)[:2, net.triangles]
    (ax, ay), (bx, by) = corners[..., 1] - corners[..., 0], corners[..., 2] - corners[..., 0]
    area = ax * by - ay * bx
    assert (area > 0).all() or (area < 0).all()


@given(grids(drops=(1,)))
def test_sides_and_hinges_join_the_beads_they_say(grid):
    net = make_net(grid, SIZES, np.zeros(grid.count, dtype=int))
    for opposite in range(3):
        ends = np.delete(net.triangles, opposite, axis=1)
        assert (np.sort(ends) == np.sort(net.contacts[net.sides[:, opposite]])).all()
    for side, (one, other) in enumerate([(0, 1), (0, 2), (1, 2), (0, 3), (1, 3)]):
        ends = net.hinges[:, [one, other]]
        assert (np.sort(ends) == np.sort(net.contacts[net.hinge_sides[:, side]])).all()
    assert len(net.hinges) == 3 * len(net.triangles) - len(np.unique(net.sides))


@given(grids(drops=(1,)))
def test_flat_work_of_one_size_has_its_rest_lengths_and_no_bend(grid):
    for level, size in enumerate(SIZES.sizes):
        net = make_net(grid, SIZES, np.full(grid.count, level))
        centres = flat(grid, size)
        assert np.linalg.norm(multiply_rows(difference_matrix(net), centres), axis=0) == pytest.approx(
            net.rest_mm, abs=1e-12
        )
        assert np.abs(multiply_rows(bend_matrix(net), centres)).max(initial=0) < 1e-9


def test_rest_lengths_by_hand():
    grid = Grid(2, 4)
    # Row 1 holds column 2, row 2 column 1: beads 0 and 1; then 2 and 3.
    net = make_net(grid, SIZES, np.array([0, 1, 2, 1]))
    lengths = {tuple(pair): rest for pair, rest in zip(net.contacts.tolist(), net.rest_mm, strict=True)}
    assert lengths[0, 2] == pytest.approx((1.6 + 3.0) / 2)
    assert lengths[1, 3] == pytest.approx(2.1)
    assert lengths[0, 1] == pytest.approx(np.hypot((1.3 + 1.45) / 2, (1.6 + 2.1) / 4))
    assert lengths[1, 2] == pytest.approx(np.hypot((1.45 + 2.0) / 2, (2.1 + 3.0) / 4))


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.0, 2.0, np.pi])
def test_a_folded_hinge_is_twice_the_sine_of_half_its_angle(angle):
    net = make_net(Grid(3, 4), SIZES, np.zeros(Grid(3, 4).count, dtype=int))
    matrix = bend_matrix(net)
    along = net.in_column[net.hinge_sides[:, 0]].nonzero()[0][0]
    top, bottom, left, right = net.hinges[along]
    centres = np.zeros((3, net.beads))
    centres[:, [top, bottom]] = [[0, 0], [0, 1.6], [0, 0]]
    centres[:, left] = [-1.3, 0.8, 0]
    centres[:, right] = [1.3 * np.cos(angle), 0.8, 1.3 * np.sin(angle)]
    assert np.linalg.norm(multiply_rows(matrix, centres)[:, along]) == pytest.approx(2 * np.sin(angle / 2), abs=1e-12)


def test_the_weights_of_a_lopsided_hinge_by_hand():
    """Rest lengths whose triangles are known: an upright side of 5 with the feet of both heights off its middle."""
    # Left 3-4-5, its height 12/5 with the foot 9/5 below the top; right √41, √26 and 5: height 5, foot 4 below the top.
    net = Net(
        beads=4,
        contacts=np.array([[0, 1], [0, 2], [1, 2], [0, 3], [1, 3]]),
        in_column=np.array([True, False, False, False, False]),
        rest_mm=np.array([5, 3, 4, np.sqrt(41), np.sqrt(26)]),
        triangles=np.array([[0, 1, 2], [1, 0, 3]]),
        sides=np.array([[2, 1, 0], [3, 4, 0]]),
        hinges=np.array([[0, 1, 2, 3]]),
        hinge_sides=np.array([[0, 1, 2, 3, 4]]),
    )
    left, right = 12 / 5, 5
    top, bottom = -(16 / 25) / left - (1 / 5) / right, -(9 / 25) / left - (4 / 5) / right
    assert bend_matrix(net).toarray() == pytest.approx(np.array([[top, bottom, 1 / left, 1 / right]]))


def test_slivers_that_make_no_triangle_still_give_finite_weights():
    bead_sizes = BeadSizes((BeadSize("cylinder 11/0", 0.5, 1.0, 0.3, 9), BeadSize("round 6/0", 0.5, 9.0, 0.3, 9)))
    grid = Grid(5, 9)
    net = make_net(grid, bead_sizes, np.random.default_rng(0).integers(0, 2, grid.count))
    assert np.isfinite(bend_matrix(net).data).all()


@pytest.mark.parametrize(
    ("levels", "figure"), [(np.zeros(5, dtype=int), "9 beads"), (np.full(9, 4), "4 bead"), (np.full(9, -1), "4 bead")]
)
def test_levels_that_do_not_fit_are_refused(levels, figure):
    with pytest.raises(BadChoiceError, match=figure):
        make_net(Grid(3, 6), SIZES, levels)


def test_a_net_cannot_be_changed():
    grid = Grid(5, 8)
    net = make_net(grid, SIZES, random_levels(grid, 1))
    with pytest.raises(ValueError, match="read-only"):
        net.rest_mm[0] = 1
