import numpy as np
import pytest
from scipy.optimize import rosen, rosen_der
from scipy.sparse import diags_array, eye_array

from convert.surface.lbfgs import ASK_EVERY, banded_cholesky, descend


def stiff_matrix(size=60):
    bands = [np.full(size - 3, -1.0), np.full(size - 1, -2.0), np.linspace(7, 9, size), np.full(size - 1, -2.0)]
    return (diags_array([*bands, np.full(size - 3, -1.0)], offsets=[-3, -1, 0, 1, 3])).tocsr()


def test_the_factor_solves_as_a_dense_solver_does():
    matrix = stiff_matrix()
    rows = np.random.default_rng(0).normal(size=(3, 60))
    expected = np.linalg.solve(matrix.toarray(), rows.T).T
    assert banded_cholesky(matrix).solve(rows) == pytest.approx(expected, abs=1e-5)


def test_a_matrix_that_is_not_positive_is_refused():
    with pytest.raises(ArithmeticError, match="dpbtrf"):
        banded_cholesky((stiff_matrix() - 20 * eye_array(60)).tocsr())


def test_a_bowl_is_walked_to_its_bottom():
    matrix = stiff_matrix()
    target = np.random.default_rng(1).normal(size=(3, 60))

    def bowl(rows):
        slope = (rows - target) @ matrix.toarray()
        return 0.5 * np.vdot(rows - target, slope), slope

    inverse = banded_cholesky((matrix + 3 * eye_array(60)).tocsr()).solve
    found = descend(bowl, inverse, np.zeros((3, 60)), tolerance_mm=1e-9, longest_mm=10.0, most=200)
    assert found.converged
    assert found.centres == pytest.approx(target, abs=1e-7)


def valley(rows):
    """H. H. Rosenbrock's function of 1960, as scipy has it; its lowest point is at ones."""
    return float(rosen(rows[0])), rosen_der(rows[0])[None]


def test_a_bent_valley_is_followed():
    found = descend(valley, lambda rows: rows / 500, np.zeros((1, 6)), tolerance_mm=1e-10, longest_mm=0.5, most=2000)
    assert found.converged
    assert found.centres == pytest.approx(np.ones((1, 6)), abs=1e-5)


def test_giving_up_is_told():
    def slope(rows):
        return float(rows.sum()), np.ones_like(rows)

    found = descend(slope, lambda rows: rows, np.zeros((3, 4)), tolerance_mm=1e-6, longest_mm=0.1, most=7)
    assert not found.converged
    assert found.iterations == 7
    assert found.centres.min() >= -0.7 - 1e-12


def test_a_function_without_numbers_ends():
    def nothing(rows):
        return float("nan"), np.full_like(rows, 1.0)

    assert not descend(
        nothing, lambda rows: rows, np.zeros((3, 4)), tolerance_mm=1e-6, longest_mm=0.1, most=50
    ).converged


class StopError(Exception):
    pass


@pytest.mark.parametrize("calls", [1, 2, 4])
def test_a_descent_that_is_told_to_stop_does_within_sixteen_steps(calls):
    """Each step asks once for the inverse, and the start once."""
    asked, solved = [], []

    def stop(words):
        assert not words
        asked.append(len(solved))
        if len(asked) == calls:
            raise StopError

    def inverse(rows):
        solved.append(rows)
        return rows / 500

    start = np.zeros((1, 6))
    with pytest.raises(StopError):
        descend(valley, inverse, start, tolerance_mm=1e-10, longest_mm=0.5, most=2000, progress=stop)
    assert np.diff([0, *asked]).max() <= ASK_EVERY == 16
    assert len(solved) == asked[-1] == 1 + ASK_EVERY * (calls - 1)
    assert not start.any()
