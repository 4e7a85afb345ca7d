"""Palettes of every size at once, each begun from its neighbour."""

from collections.abc import Sequence

import numpy as np

from convert.colouring.choices import MOST_REVIEWED
from convert.colouring.k_medians import Centres, Floats, moved_to_medians, newcomer
from convert.colouring.quantise import Chosen, merged, settled
from shared.ciede2000 import difference_table


def free_palettes(cells_lab: Floats, numbers: Sequence[int]) -> tuple[Chosen, ...]:
    """Choose palettes of several sizes so that the mean CIEDE2000 over the cells is small.

    Rising, each palette is the one before and the newcomer that helps most, moved to medians; falling, it is the
    one after without the colour that is missed least, and the better of the two is kept. Together they come as
    close as a search of its own for each number, in a third of its time. The result does not depend on the order
    of the cells.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    numbers
        How many colours at the most; fewer come back when the cells have fewer, or two fall together in 8 bits.
    """
    points, weights = merged(cells_lab)
    # As far as the usual range at least, so that a shorter one finds the same palettes.
    most = min(max(*numbers, MOST_REVIEWED) + 1, len(points))
    found = _falling(points, weights, _rising(points, weights, most))
    return tuple(
        settled(cells_lab, points, weights, points if number >= len(points) else found[number - 1].lab)
        for number in numbers
    )


def _rising(points: Floats, weights: Floats, most: int) -> list[Centres]:
    """Return palettes of 1, 2 … colours."""
    middle = (points * weights[:, None]).sum(axis=0) / weights.sum()
    found = [moved_to_medians(points, weights, middle[None])]
    while len(found) < most:
        last = found[-1].lab
        served = difference_table(points, last).min(axis=1)
        wider = np.concatenate([last, newcomer(points, weights, served)[None]])
        found.append(moved_to_medians(points, weights, wider))
    return found


def _falling(points: Floats, weights: Floats, rising: list[Centres]) -> list[Centres]:
    best = [rising[-1]]
    for own in reversed(rising[:-1]):
        larger = best[-1].lab
        less = np.delete(larger, _least_missed(points, weights, larger), axis=0)
        best.append(min(own, moved_to_medians(points, weights, less), key=lambda centres: centres.total))
    return best[::-1]


def _least_missed(points: Floats, weights: Floats, palette: Floats) -> int:
    """Return the place of the colour whose points have the nearest second choice."""
    table = difference_table(points, palette).astype(np.float64)
    closest = np.partition(table, 1, axis=1)
    missed = np.bincount(table.argmin(axis=1), weights * (closest[:, 1] - closest[:, 0]), len(palette))
    return int(missed.argmin())
