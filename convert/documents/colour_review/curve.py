"""The curve of colour error against the number of colours, as plain numbers; page and picture draw it."""

from collections.abc import Sequence
from math import ceil
from typing import NamedTuple

from convert.colouring.colour_count import Spread

Point = tuple[float, float]

_STEPS = (1, 2, 5, 10, 20, 50)
_MOST_LINES = 8
_MOST_NUMBERS = 20


class Tick(NamedTuple):
    """A mark on an axis."""

    at: float
    """Place along the axis."""
    text: str
    """What stands beside it."""


class Curve(NamedTuple):
    """The curve in a box, x to the right from the first number, y down from the largest error."""

    mean: tuple[Point, ...]
    """Mean error of each number."""
    p95: tuple[Point, ...]
    """Error that 95 % of the beads stay under."""
    across: tuple[Tick, ...]
    """Numbers of colours, as many as have room; the suggested one is among them."""
    up: tuple[Tick, ...]
    """CIEDE2000."""
    knee: int
    """The place of the suggested number in ``mean``."""


def curve_of(spreads: Sequence[Spread], knee_k: int, *, width: float, height: float) -> Curve:
    """Lay the curve out in a box whose upper left corner is (0, 0).

    Parameters
    ----------
    spreads
        At least one, k rising.
    knee_k
        The number to mark; one of them.
    width, height
        Of the box, in any unit.
    """
    numbers = [spread.k for spread in spreads]
    step = _step(max(spread.p95 for spread in spreads))
    top = step * max(1, ceil(max(spread.p95 for spread in spreads) / step))
    span = max(numbers[-1] - numbers[0], 1)

    def at(k: int, error: float) -> Point:
        return (k - numbers[0]) / span * width, height * (1 - error / top)

    return Curve(
        mean=tuple(at(spread.k, spread.mean) for spread in spreads),
        p95=tuple(at(spread.k, spread.p95) for spread in spreads),
        across=tuple(Tick(at(k, 0)[0], str(k)) for k in _shown(numbers, knee_k)),
        up=tuple(Tick(at(numbers[0], error)[1], str(error)) for error in range(0, top + 1, step)),
        knee=numbers.index(knee_k),
    )


def _shown(numbers: list[int], knee_k: int) -> list[int]:
    every = ceil(len(numbers) / _MOST_NUMBERS)
    return [k for place, k in enumerate(numbers) if place % every == 0 or k == knee_k]


def _step(most: float) -> int:
    return next((step for step in _STEPS if most / step <= _MOST_LINES), _STEPS[-1])
