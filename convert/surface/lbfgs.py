"""Descent to a minimum: L-BFGS on top of a constant banded matrix.

The method is that of J. Nocedal, "Updating quasi-Newton matrices with limited storage", Math. Comp. 35, 1980,
with the inverse of the constant matrix as the first guess of the inverse Hessian.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.progress import Progress, silent
from shared.arrays import Floats

MEMORY = 8
"""How many past steps are kept."""

ASK_EVERY = 16
"""After at most n steps it is asked whether to go on: often enough to stop at once, too seldom to cost time."""

ENOUGH = 1e-4
"""A step must lower the energy by this share of what the slope promises (Armijo)."""

ROUNDING = 1e-12
"""Energies nearer than this share are alike (W. Hager, H. Zhang, SIAM J. Optim. 16, 2005, eq. 4.1)."""

LEAST_CURVE = 1e-8
"""A past step over less curvature than this share of the constant matrix's is forgotten."""


class Descent(NamedTuple):
    """Where a descent came to rest.

    Parameters
    ----------
    centres
        Shape (3, beads).
    iterations
        Steps taken.
    converged
        Whether the last step wanted was below the tolerance.
    """

    centres: Floats
    iterations: int
    converged: bool


@dataclass(frozen=True, eq=False, slots=True)
class BandedMatrix:
    """The Cholesky factor of a banded matrix, upper form of LAPACK.

    Parameters
    ----------
    factor
        Shape (band + 1, size), Fortran order.
    """

    factor: NDArray[Any]

    def solve(self, rows: Floats) -> Floats:
        """Return the inverse times each row, shape (3, size).

        In single precision, which halves the time: it shapes steps only, and energies and gradients stay double.
        """
        from scipy.linalg.lapack import spbtrs

        # Brought to about 1 first: near rest gradients are so small that single precision would lose them.
        # Fortran order of (size, 3) is the order of (3, size): nothing is moved.
        scale = float(np.abs(rows).max(initial=0)) or 1.0
        solution, fault = spbtrs(self.factor, (rows / scale).astype(np.float32).T, lower=0, overwrite_b=1)
        if fault:
            raise ArithmeticError(f"spbtrs reports {fault}")
        return np.asarray(scale * solution.T.astype(np.float64))


def banded_cholesky(matrix: Any) -> BandedMatrix:
    """Factor a sparse symmetric positive definite matrix whose entries lie near the diagonal."""
    from scipy.linalg.lapack import dpbtrf

    entries = matrix.tocoo()
    row, column = entries.coords
    upper = row <= column
    band = int((column - row).max(initial=0))
    packed = np.zeros((band + 1, matrix.shape[0]), order="F")
    packed[band + row[upper] - column[upper], column[upper]] = entries.data[upper]
    factor, fault = dpbtrf(packed, lower=0, overwrite_ab=1)
    if fault:
        raise ArithmeticError(f"dpbtrf reports {fault}")
    return BandedMatrix(factor.astype(np.float32))


def descend(
    value_and_gradient: Callable[[Floats], tuple[float, Floats]],
    inverse: Callable[[Floats], Floats],
    start: Floats,
    *,
    tolerance_mm: float,
    longest_mm: float,
    most: int,
    progress: Progress = silent,
) -> Descent:
    """Walk downhill until the step that the constant matrix asks for is short.

    Parameters
    ----------
    value_and_gradient
        Of the centres, shape (3, beads).
    inverse
        The inverse of the constant matrix, applied to a gradient.
    start
        Centres to start from.
    tolerance_mm
        Rest is reached when no coordinate of that step is longer.
    longest_mm
        No coordinate of a step taken is longer.
    most
        Steps after which to give up.
    progress
        Asked every `ASK_EVERY` steps; what it raises ends the descent.
    """
    centres = start
    value, gradient = value_and_gradient(centres)
    wanted = inverse(gradient)
    past: list[tuple[Floats, Floats, Floats, float]] = []
    for iteration in range(most):
        if iteration % ASK_EVERY == 0:
            progress("")
        if np.abs(wanted).max(initial=0) <= tolerance_mm:
            return Descent(centres, iteration, True)
        step = _two_loops(gradient, wanted, past)
        slope = float(np.vdot(step, gradient))
        # Also where the slope is no number: only the constant matrix is sure to lead downhill.
        if not slope < 0:
            past.clear()
            step = -wanted
            slope = float(np.vdot(step, gradient))
        size = min(1.0, longest_mm / float(np.abs(step).max()))
        found = _shorten(value_and_gradient, centres, value, step, slope=slope, size=size)
        if found is None:
            if not past:
                return Descent(centres, iteration, False)
            # The memory led nowhere; it is forgotten, and the same point tried once with the constant matrix alone.
            past.clear()
            continue
        moved, value, new_gradient = found
        new_wanted = inverse(new_gradient)
        s, y, w = moved - centres, new_gradient - gradient, new_wanted - wanted
        curve = float(np.vdot(s, y))
        # Steps over hollow ground would spoil the memory, whose matrix must stay positive.
        if curve > LEAST_CURVE * float(np.vdot(y, w)) > 0:
            past = [*past[1 - MEMORY :], (s, y, w, curve)]
        centres, gradient, wanted = moved, new_gradient, new_wanted
    return Descent(centres, most, False)


def _two_loops(gradient: Floats, wanted: Floats, past: list[tuple[Floats, Floats, Floats, float]]) -> Floats:
    """Return the quasi-Newton step. ``wanted`` and w are gradients already taken through the inverse.

    The two loops use the inverse on their inner vector; kept with each step as w, it need not be solved for again.
    """
    if not past:
        return -wanted
    q, r = gradient.copy(), wanted.copy()
    shares = []
    for s, y, w, curve in reversed(past):
        share = float(np.vdot(s, q)) / curve
        shares.append(share)
        q -= share * y
        r -= share * w
    # The constant matrix is scaled to the curvature of the last step, so that a full step is about long enough.
    _, y, w, curve = past[-1]
    r *= curve / float(np.vdot(y, w))
    for (s, y, _, curve), share in zip(past, reversed(shares), strict=True):
        r += (share - float(np.vdot(y, r)) / curve) * s
    return -r


def _shorten(
    value_and_gradient: Callable[[Floats], tuple[float, Floats]],
    centres: Floats,
    value: float,
    step: Floats,
    *,
    slope: float,
    size: float,
) -> tuple[Floats, float, Floats] | None:
    """Return the first point along a step, shortened as often as needed, that is low enough."""
    for _ in range(30):
        moved = centres + size * step
        new_value, gradient = value_and_gradient(moved)
        drop = new_value - value
        if drop <= ENOUGH * size * slope:
            return moved, new_value, gradient
        # Near rest the drop drowns in rounding; there the slope at the new point decides.
        level = abs(drop) <= ROUNDING * abs(value)
        if level and float(np.vdot(step, gradient)) <= (2 * ENOUGH - 1) * slope:
            return moved, new_value, gradient
        # The lowest point of the parabola through both values and the first slope, within a tenth and a half.
        curve = drop - size * slope
        size *= min(0.5, max(0.1, -size * slope / (2 * curve))) if curve > 0 else 0.5
    return None
