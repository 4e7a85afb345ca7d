"""What may be counted and chosen: colours, or colours in sizes; which cells each can serve, and the fewest that do."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.matching.merge_cells import Points
from palettes.matching.p_median import UNSERVED, PMedian, whole_costs
from shared.arrays import Bools, Ints
from shared.ciede2000 import difference_table

_NOT_MADE = 1 << 26
"""Costs of one cell at a colour that is not made in its size: above any difference."""


@dataclass(frozen=True, slots=True, eq=False)
class CandidateBeads:
    """What can be chosen; each of them counts as one.

    Parameters
    ----------
    entries
        The place in the palette of the colour of each, shape (candidates,).
    serves
        Whether each can be used in a level, shape (candidates, levels).
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


def count_colours(exists: Bools, levels: Ints) -> CandidateBeads:
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
    return CandidateBeads(entries.astype(np.int64), serves[entries])


def count_kinds(exists: Bools, levels: Ints) -> CandidateBeads:
    """Count colours in sizes: each serves one level. Parameters as `count_colours`."""
    entries, levels = np.nonzero(_needed(exists, levels))
    return CandidateBeads(entries.astype(np.int64), levels[:, None] == np.arange(exists.shape[1]))


def p_median_of(
    points: Points, palette_lab: NDArray[np.float64], candidates: CandidateBeads, required: tuple[frozenset[int], ...]
) -> PMedian:
    """Work out what each point costs at each candidate, and add a point for each level that must be served.

    Parameters
    ----------
    points
        What is to be matched.
    palette_lab
        CIELAB of the entries of the palette, shape (entries, 3).
    candidates
        What can be chosen.
    required
        See `PMedian`.
    """
    entries, entry_of = np.unique(candidates.entries, return_inverse=True)
    table = difference_table(points.lab, palette_lab[entries])
    differences = whole_costs(table)[:, entry_of]
    costs = np.where(candidates.serves.T[points.levels], differences, _NOT_MADE) * points.weights[:, None]
    unserved = np.where(candidates.serves.T[np.unique(points.levels)], 0, UNSERVED)
    return PMedian(np.concatenate([costs, unserved]), required)


def _needed(exists: Bools, levels: Ints) -> Bools:
    needed = np.zeros_like(exists)
    needed[:, levels] = exists[:, levels]
    return needed


def least_cover(serves: Sequence[int], required: Sequence[frozenset[int]], everything: int) -> tuple[int, ...]:
    """Find the fewest candidates, required ones included, that together serve everything.

    Parameters
    ----------
    serves
        For each candidate a bit mask of what it serves.
    required
        Sets of candidates, of each of which one is taken.
    everything
        The bit mask to be reached.

    Returns
    -------
    tuple of int
        Candidates, the earliest where several would do.

    Raises
    ------
    ValueError
        When all candidates together do not serve everything.
    """
    reached: dict[int, tuple[int, ...]] = {0: ()}
    for places in sorted(required, key=len):
        reached = _one_of_each(reached, sorted(places), serves)
    first_of: dict[int, int] = {}
    for place, mask in enumerate(serves):
        first_of.setdefault(mask & everything, place)
    seen = dict(reached)
    while reached:
        done = [chosen for mask, chosen in reached.items() if mask & everything == everything]
        if done:
            return min(done, key=len)
        reached = {
            mask | more: (*chosen, place)
            for mask, chosen in reached.items()
            for more, place in first_of.items()
            if mask | more not in seen
        }
        seen.update(reached)
    raise ValueError("nothing serves everything")


def _one_of_each(
    reached: dict[int, tuple[int, ...]], places: list[int], serves: Sequence[int]
) -> dict[int, tuple[int, ...]]:
    """Take one candidate of a set, unless one is taken already, in every way that serves something else."""
    found: dict[int, tuple[int, ...]] = {}
    for mask, chosen in reached.items():
        fulfilled = not set(places).isdisjoint(chosen)
        choices = [(mask, chosen)] if fulfilled else [(mask | serves[place], (*chosen, place)) for place in places]
        for after, taken in choices:
            if after not in found or len(taken) < len(found[after]):
                found[after] = taken
    return found
