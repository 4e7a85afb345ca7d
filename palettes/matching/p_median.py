"""Facility location: open few of many places so that all customers are served at the least cost.

A greedy start, then swaps of one open place for a closed one, best first, as long as the total falls (the
interchange of M. B. Teitz and P. Bart, "Heuristic Methods for Estimating the Generalized Vertex Median of a
Weighted Graph", Operations Research 16(5), 1968); then chains of two or three swaps that begin with one that costs
something, which leads out of most dead ends (compare S. Lin and B. W. Kernighan, "An Effective Heuristic Algorithm
for the Traveling-Salesman Problem", Operations Research 21(2), 1973). All costs are whole numbers: sums come out the
same in any order and on any machine, and ties go to the first place.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Ints

UNSERVED = 1 << 52
"""Costs of a customer that no open place serves, if there must be one: above the sum of all others."""

_FORBIDDEN = 1 << 60
_LONGEST_CHAIN = 3
_MOST_CHAINS, _FEWEST_CHAINS = 24, 4
_CHAINED_COSTS = 4_000_000
"""About so many costs are looked at for the first swaps of chains, so that large markets do not take long."""


@dataclass(frozen=True, slots=True, eq=False)
class Market:
    """Customers and the places that could serve them.

    Parameters
    ----------
    costs
        Of each customer at each place, whole numbers from 0, shape (customers, places).
    required
        Sets of places, of each of which one must be open.
    """

    costs: Ints
    required: tuple[frozenset[int], ...] = ()


def total_cost(market: Market, opened: list[int]) -> int:
    """Return what all customers cost together, each at the cheapest open place."""
    return int(market.costs[:, opened].min(axis=1).sum())


def best_places(market: Market, most: int, fallback: tuple[int, ...]) -> list[int]:
    """Open places, at most so many, so that the total cost is small.

    Parameters
    ----------
    market
        Customers, places, and what must be open.
    most
        How many at the most.
    fallback
        Places, not more than that, that serve every customer and hold what is required: where the search begins
        again should it end with a customer that nobody serves.

    Returns
    -------
    list of int
        In rising order; fewer than ``most`` when one more would not help.
    """
    opened = _with_chains(market, with_more(market, most))
    if total_cost(market, opened) >= UNSERVED:
        opened = _with_chains(market, with_more(market, most, fallback))
    return sorted(opened)


def with_more(market: Market, most: int, start: tuple[int, ...] = ()) -> list[int]:
    """Open what is required, then one place after the other where it saves most, as long as it saves anything."""
    opened = list(start)
    for places in market.required:
        if places.isdisjoint(opened):
            opened.append(min(sorted(places), key=lambda place: total_cost(market, [*opened, place])))
    current = _cheapest(market, opened)
    while len(opened) < most:
        totals = np.minimum(market.costs, current[:, None]).sum(axis=0)
        place = int(totals.argmin())
        if totals[place] >= current.sum():
            break
        opened.append(place)
        current = np.minimum(current, market.costs[:, place])
    return opened


def with_swaps(market: Market, opened: list[int]) -> list[int]:
    """Swap open places for closed ones, the best swap first, until none lowers the total."""
    while opened:
        changes = _swap_changes(market, opened)
        leaving, entering = divmod(int(changes.argmin()), changes.shape[1])
        if changes[leaving, entering] >= 0:
            break
        opened = _swapped(opened, leaving, entering)
    return opened


def _with_chains(market: Market, opened: list[int]) -> list[int]:
    """Make several swaps at once where that helps and fewer do not, and swap on from there."""
    found: list[int] | None = opened
    while found:
        opened = with_swaps(market, found)
        found = _chained(market, opened)
    return opened


def _chained(market: Market, opened: list[int]) -> list[int] | None:
    changes = _swap_changes(market, opened)
    for leaving, entering in _promising(changes, len(market.costs)):
        found = _chain(market, opened, (leaving, entering), int(changes[leaving, entering]))
        if found:
            return found
    return None


def _chain(market: Market, opened: list[int], swap: tuple[int, int], change: int) -> list[int] | None:
    """Follow a swap by the best others, none of which takes back the one before, until the total falls."""
    for _ in range(_LONGEST_CHAIN - 1):
        swapped = _swapped(opened, *swap)
        changes = _swap_changes(market, swapped)
        changes[:, opened[swap[0]]] = _FORBIDDEN
        opened, swap = swapped, divmod(int(changes.argmin()), changes.shape[1])
        if changes[swap] == _FORBIDDEN:
            break
        change += int(changes[swap])
        if change < 0:
            return _swapped(opened, *swap)
    return None


def _swapped(opened: list[int], leaving: int, entering: int) -> list[int]:
    return [*opened[:leaving], entering, *opened[leaving + 1 :]]


def _promising(changes: Ints, customers: int) -> list[tuple[int, int]]:
    """Return swaps that cost little: the cheapest for each closed place first, then the next cheapest for each."""
    leaving = np.argsort(changes, axis=0, kind="stable")
    costs = np.take_along_axis(changes, leaving, axis=0)
    depths = np.broadcast_to(np.arange(len(costs))[:, None], costs.shape)
    order = np.lexsort((costs.ravel(), depths.ravel()))
    order = order[costs.ravel()[order] < _FORBIDDEN]
    tries = min(_MOST_CHAINS, max(_FEWEST_CHAINS, _CHAINED_COSTS // max(customers * costs.shape[1], 1)))
    pairs = [divmod(int(place), costs.shape[1]) for place in order[:tries]]
    return [(int(leaving[depth, entering]), entering) for depth, entering in pairs]


def _cheapest(market: Market, opened: list[int]) -> Ints:
    """Return what each customer costs at its cheapest open place; above every cost where none is open."""
    if not opened:
        return np.asarray(market.costs.max(axis=1, initial=0) + 1)
    return np.asarray(market.costs[:, opened].min(axis=1))


def _swap_changes(market: Market, opened: list[int]) -> Ints:
    """Return the change of the total by each swap, shape (open places, places); what is not allowed costs much.

    A customer of a place that stays moves to the newcomer if that is cheaper; one of the place that leaves goes to
    the newcomer or to the second cheapest.
    """
    costs = market.costs
    open_costs = costs[:, opened]
    cheapest = open_costs.argmin(axis=1)
    others = np.partition(open_costs, 1, axis=1)[:, 1] if len(opened) > 1 else np.full(len(costs), UNSERVED)
    changes = np.zeros((len(opened), costs.shape[1]), dtype=np.int64)
    saved = np.zeros(costs.shape[1], dtype=np.int64)
    for leaving in range(len(opened)):
        customers = np.flatnonzero(cheapest == leaving)
        theirs = costs[customers]
        paid = open_costs[customers, leaving][:, None]
        savings = np.minimum(theirs, paid) - paid
        saved += savings.sum(axis=0)
        changes[leaving] = (np.minimum(theirs, others[customers][:, None]) - paid - savings).sum(axis=0)
    changes += saved
    changes[~_allowed(market, opened)] = _FORBIDDEN
    return changes


def _allowed(market: Market, opened: list[int]) -> NDArray[np.bool_]:
    """Tell which swaps keep what is required open, shape (open places, places)."""
    allowed = np.ones((len(opened), market.costs.shape[1]), dtype=np.bool_)
    allowed[:, opened] = False
    for places in market.required:
        fulfilling = [at for at, place in enumerate(opened) if place in places]
        if len(fulfilling) == 1:
            closed = [place for place in range(allowed.shape[1]) if place not in places]
            allowed[fulfilling[0], closed] = False
    return allowed
