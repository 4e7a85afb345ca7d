"""The p-median problem: choose few of many candidates so that all points are served at the least cost.

A greedy start, then swaps of one chosen candidate for another, best first, as long as the total falls (the
interchange of M. B. Teitz and P. Bart, "Heuristic Methods for Estimating the Generalized Vertex Median of a
Weighted Graph", Operations Research 16(5), 1968); then chains of two or three swaps that begin with one that costs
something, which leads out of most dead ends (compare S. Lin and B. W. Kernighan, "An Effective Heuristic Algorithm
for the Traveling-Salesman Problem", Operations Research 21(2), 1973). All costs are whole numbers: sums come out the
same in any order and on any machine, and ties go to the first candidate.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints

Floats = NDArray[np.floating]

UNIT = 1 << 16
"""Costs are whole numbers of this part of a CIEDE2000 unit: finer than the differences are right to."""

UNSERVED = 1 << 52
"""Costs of a point that no chosen candidate serves, if there must be one: above the sum of all others."""

_FORBIDDEN = 1 << 60
_LONGEST_CHAIN = 3
_MOST_CHAINS, _FEWEST_CHAINS = 24, 4
_CHAINED_COSTS = 4_000_000
"""About so many costs are looked at for the first swaps of chains, so that large problems do not take long."""


@dataclass(frozen=True, slots=True, eq=False)
class PMedian:
    """Points, and the candidates that could serve them.

    Parameters
    ----------
    costs
        Of each point at each candidate, whole numbers from 0, shape (points, candidates).
    required
        Sets of candidates, of each of which one must be chosen.
    """

    costs: Ints
    required: tuple[frozenset[int], ...] = ()


def whole_costs(differences: Floats) -> Ints:
    """Return CIEDE2000 differences as whole numbers of `UNIT`, the same shape."""
    return np.asarray(np.rint(differences.astype(np.float64) * UNIT), dtype=np.int64)


def total_cost(problem: PMedian, chosen: list[int]) -> int:
    """Return what all points cost together, each at the cheapest chosen candidate."""
    return int(problem.costs[:, chosen].min(axis=1).sum())


def solve_p_median(problem: PMedian, most: int, fallback: tuple[int, ...] = ()) -> list[int]:
    """Choose at most ``most`` candidates so that the total cost is small.

    Parameters
    ----------
    problem
        Points, candidates, and what must be chosen.
    most
        How many at most, and no fewer than the sets of ``required`` take.
    fallback
        Candidates, not more than that, that serve every point and hold what is required: where the search begins
        again should it end with a point that nobody serves. None where every candidate serves every point.

    Returns
    -------
    list of int
        In rising order; fewer than ``most`` when one more would not help.
    """
    chosen = _improve(problem, add_greedily(problem, most))
    if fallback and total_cost(problem, chosen) >= UNSERVED:
        chosen = _improve(problem, add_greedily(problem, most, fallback))
    return sorted(chosen)


def add_greedily(problem: PMedian, most: int, start: tuple[int, ...] = ()) -> list[int]:
    """Take what is required, then one candidate after the other where it saves most, as long as it saves anything."""
    chosen = list(start)
    for candidates in problem.required:
        if candidates.isdisjoint(chosen):
            chosen.append(min(sorted(candidates), key=lambda one: total_cost(problem, [*chosen, one])))
    current = _cheapest(problem, chosen)
    while len(chosen) < most:
        totals = np.minimum(problem.costs, current[:, None]).sum(axis=0)
        best = int(totals.argmin())
        if totals[best] >= current.sum():
            break
        chosen.append(best)
        current = np.minimum(current, problem.costs[:, best])
    return chosen


def _improve(problem: PMedian, chosen: list[int]) -> list[int]:
    """Swap, make several swaps at once where that helps and fewer do not, and swap on from there."""
    found: list[int] | None = chosen
    while found:
        chosen = _swap_while_it_helps(problem, found)
        found = _find_chain(problem, chosen)
    return chosen


def _swap_while_it_helps(problem: PMedian, chosen: list[int]) -> list[int]:
    while chosen:
        changes = _swap_changes(problem, chosen)
        leaving, entering = divmod(int(changes.argmin()), changes.shape[1])
        if changes[leaving, entering] >= 0:
            break
        chosen = _swap(chosen, leaving, entering)
    return chosen


def _find_chain(problem: PMedian, chosen: list[int]) -> list[int] | None:
    """Return what a chain of swaps that lowers the total leads to; None when none was found."""
    changes = _swap_changes(problem, chosen)
    for leaving, entering in _promising_swaps(changes, len(problem.costs)):
        found = _follow_chain(problem, chosen, (leaving, entering), int(changes[leaving, entering]))
        if found:
            return found
    return None


def _follow_chain(problem: PMedian, chosen: list[int], swap: tuple[int, int], change: int) -> list[int] | None:
    """Follow a swap by the best others, none of which takes back the one before, until the total falls."""
    for _ in range(_LONGEST_CHAIN - 1):
        after = _swap(chosen, *swap)
        changes = _swap_changes(problem, after)
        changes[:, chosen[swap[0]]] = _FORBIDDEN
        chosen, swap = after, divmod(int(changes.argmin()), changes.shape[1])
        if changes[swap] == _FORBIDDEN:
            break
        change += int(changes[swap])
        if change < 0:
            return _swap(chosen, *swap)
    return None


def _swap(chosen: list[int], leaving: int, entering: int) -> list[int]:
    return [*chosen[:leaving], entering, *chosen[leaving + 1 :]]


def _promising_swaps(changes: Ints, points: int) -> list[tuple[int, int]]:
    """Return swaps that cost little: the cheapest for each newcomer first, then the next cheapest for each."""
    leaving = np.argsort(changes, axis=0, kind="stable")
    costs = np.take_along_axis(changes, leaving, axis=0)
    depths = np.broadcast_to(np.arange(len(costs))[:, None], costs.shape)
    order = np.lexsort((costs.ravel(), depths.ravel()))
    order = order[costs.ravel()[order] < _FORBIDDEN]
    tries = min(_MOST_CHAINS, max(_FEWEST_CHAINS, _CHAINED_COSTS // max(points * costs.shape[1], 1)))
    pairs = [divmod(int(place), costs.shape[1]) for place in order[:tries]]
    return [(int(leaving[depth, entering]), entering) for depth, entering in pairs]


def _cheapest(problem: PMedian, chosen: list[int]) -> Ints:
    """Return what each point costs at its cheapest chosen candidate; above every cost where none is chosen."""
    if not chosen:
        return np.asarray(problem.costs.max(axis=1, initial=0) + 1)
    return np.asarray(problem.costs[:, chosen].min(axis=1))


def _swap_changes(problem: PMedian, chosen: list[int]) -> Ints:
    """Return the change of the total by each swap, shape (chosen, candidates); what is not allowed costs much.

    What a newcomer saves does not depend on who leaves, except at the points that the leaving one served: a point
    of one that stays moves to the newcomer if that is cheaper, a point of the one that leaves goes to the newcomer
    or to its second cheapest (E. Schubert and P. J. Rousseeuw, "Fast and eager k-medoids clustering", Information
    Systems 101, 2021).
    """
    costs = problem.costs
    chosen_costs = costs[:, chosen]
    served_by = chosen_costs.argmin(axis=1)
    paid = chosen_costs[np.arange(len(costs)), served_by][:, None]
    second = np.partition(chosen_costs, 1, axis=1)[:, 1:2] if len(chosen) > 1 else np.full_like(paid, UNSERVED)
    saved = np.minimum(costs, paid).sum(axis=0) - paid.sum()
    # Of the points of the one that leaves: more than they pay now, and at most what their second cheapest takes.
    order = np.argsort(served_by, kind="stable")
    lost = np.minimum(np.maximum(costs, paid), second) - paid
    serving, first = np.unique(served_by[order], return_index=True)
    changes = np.tile(saved, (len(chosen), 1))
    changes[serving] += np.add.reduceat(lost[order], first, axis=0)
    changes[~_allowed(problem, chosen)] = _FORBIDDEN
    return changes


def _allowed(problem: PMedian, chosen: list[int]) -> NDArray[np.bool_]:
    """Return whether each swap keeps what is required, shape (chosen, candidates)."""
    allowed = np.ones((len(chosen), problem.costs.shape[1]), dtype=np.bool_)
    allowed[:, chosen] = False
    for candidates in problem.required:
        fulfilling = [at for at, one in enumerate(chosen) if one in candidates]
        if len(fulfilling) == 1:
            others = [one for one in range(allowed.shape[1]) if one not in candidates]
            allowed[fulfilling[0], others] = False
    return allowed
