import numpy as np
import pytest
from size_levels import random_levels
from strategies import SIZES

from convert.surface.energy import Energy, bend_matrix, difference_matrix
from convert.surface.overlap import Struts
from convert.surface.spring_net import make_net
from convert.surface.support import Tabletop, Wrist
from shared.grid import Grid

CASES = [(Grid(7, 9), Tabletop()), (Grid(7, 9), Wrist(9.0)), (Grid(2, 9), Tabletop()), (Grid(6, 2), Wrist(20.0))]


def some_energy(grid, ground):
    levels = random_levels(grid, 3)
    net = make_net(grid, SIZES, levels)
    rng = np.random.default_rng(4)
    energy = Energy(
        net=net,
        difference=difference_matrix(net),
        bend=bend_matrix(net),
        bending=0.3,
        spring=rng.uniform(0, 0.1, grid.count),
        floor=0.2,
        load=rng.uniform(0, 0.1, grid.count),
        ground=ground,
        # One strut that pushes, as its beads would have to be far apart, and one that does not.
        struts=Struts(np.array([[0, grid.count - 1], [1, 2]]), np.array([90.0, 0.01])),
    )
    centres = ground.lay(grid.centres_mm(1.3, 1.6).T) + rng.normal(0, 0.3, (3, grid.count))
    assert (ground.height(centres)[0] < 0).any()
    return energy, centres


@pytest.mark.parametrize(("grid", "ground"), CASES)
def test_gradient_agrees_with_finite_differences(grid, ground):
    energy, centres = some_energy(grid, ground)
    gradient = energy.value_and_gradient(centres)[1]
    step = 1e-6
    for at in np.ndindex(*centres.shape):
        nudge = np.zeros_like(centres)
        nudge[at] = step
        rise = energy.value_and_gradient(centres + nudge)[0] - energy.value_and_gradient(centres - nudge)[0]
        assert gradient[at] == pytest.approx(rise / (2 * step), abs=1e-6)


def test_laying_and_unrolling_are_inverse():
    for ground in (Tabletop(), Wrist(30.0)):
        x, y = np.random.default_rng(7).uniform(-40, 40, (2, 50))
        y -= (y.min() + y.max()) / 2
        assert ground.unroll(ground.lay(np.stack([x, y]))) == pytest.approx(np.stack([x, y, 0 * x]), abs=1e-9)


def test_straightening_takes_back_what_moved_the_work_as_a_whole():
    rng = np.random.default_rng(8)
    start = rng.normal(0, 5, (3, 30))
    cosine, sine = np.cos(0.7), np.sin(0.7)
    turn_about_z = np.array([[cosine, -sine, 0], [sine, cosine, 0], [0, 0, 1]])
    moved = turn_about_z @ start + [[3], [4], [0]]
    assert Tabletop().straighten(moved, start) == pytest.approx(start, abs=1e-9)
    wrist, axis = Wrist(20.0), np.array([[0], [0], [20.0]])
    turn_about_x = np.array([[1, 0, 0], [0, cosine, -sine], [0, sine, cosine]])
    moved = turn_about_x @ (start + axis) - axis + [[5], [0], [0]]
    assert wrist.straighten(moved, start) == pytest.approx(start, abs=1e-9)
