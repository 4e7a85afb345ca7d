"""What may be counted and chosen: colours, or colours in sizes, and which cells each can serve."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.matching.merge_cells import Points
from palettes.matching.p_median import UNSERVED, Market
from shared.arrays import Bools, Ints
from shared.ciede2000 import difference_table

_UNIT = 1 << 16
"""Costs are whole numbers of this part of a CIEDE2000 unit."""

_NOT_MADE = 1 << 26
"""Costs of one cell at a colour that is not made in its size: above any difference."""


@dataclass(frozen=True, slots=True, eq=False)
class Stalls:
    """What can be chosen; each of them counts as one.

    Parameters
    ----------
    entries
        The place in the palette of the colour of each, shape (stalls,).
    serves
        Whether each can be used in a level, shape (stalls, levels).
    """

    entries: Ints
    serves: Bools

    def with_colour(self, entry: int) -> frozenset[int]:
        """Return those of a colour."""
        return frozenset(np.flatnonzero(self.entries == entry).tolist())

    def in_level(self, level: int) -> frozenset[int]:
        """Return those that serve a level."""
        return frozenset(np.flatnonzero(self.serves[:, level]).tolist())

    @property
    def masks(self) -> list[int]:
        """The levels that each serves, as bits."""
        return [sum(1 << int(level) for level in np.flatnonzero(row)) for row in self.serves]


def colours_as_stalls(exists: Bools, levels: Ints) -> Stalls:
    """Count colours: each serves every needed level in which it is made.

    Parameters
    ----------
    exists
        Which entry may be used in which level, shape (entries, levels).
    levels
        Those that are needed.
    """
    serves = _needed(exists, levels)
    entries = np.flatnonzero(serves.any(axis=1))
    return Stalls(entries.astype(np.int64), serves[entries])


def beads_as_stalls(exists: Bools, levels: Ints) -> Stalls:
    """Count colours in sizes: each serves one level. Parameters as `colours_as_stalls`."""
    entries, levels = np.nonzero(_needed(exists, levels))
    return Stalls(entries.astype(np.int64), levels[:, None] == np.arange(exists.shape[1]))


def market_of(
    points: Points, palette_lab: NDArray[np.float64], stalls: Stalls, required: tuple[frozenset[int], ...]
) -> Market:
    """Work out what each point costs at each stall, and add a customer for each level that must be served.

    Parameters
    ----------
    points
        What is to be matched.
    palette_lab
        CIELAB of the entries of the palette, shape (entries, 3).
    stalls
        What can be chosen.
    required
        See `Market`.
    """
    entries, entry_of = np.unique(stalls.entries, return_inverse=True)
    table = difference_table(points.lab, palette_lab[entries]).astype(np.float64)
    differences = np.rint(table * _UNIT).astype(np.int64)[:, entry_of]
    costs = np.where(stalls.serves.T[points.levels], differences, _NOT_MADE) * points.weights[:, None]
    unserved = np.where(stalls.serves.T[np.unique(points.levels)], 0, UNSERVED)
    return Market(np.concatenate([costs, unserved]), required)


def _needed(exists: Bools, levels: Ints) -> Bools:
    needed = np.zeros_like(exists)
    needed[:, levels] = exists[:, levels]
    return needed
