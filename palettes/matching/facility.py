"""Facility location: open few of many places so that all customers are served at the least cost.

A greedy start, then swaps of one open place for a closed one, best first, as long as the total falls (the
interchange of M. B. Teitz and P. Bart, "Heuristic Methods for Estimating the Generalized Vertex Median of a
Weighted Graph", Operations Research 16(5), 1968); then the most promising of the other swaps
are tried with a second one after each, which leads out of most dead ends. All costs are whole numbers: sums come out
the same in any order and on any machine, and ties go to the first place.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

UNSERVED = 1 << 52
"""Costs of a customer that no open place serves, if there must be one: above the sum of all others."""

_FORBIDDEN = 1 << 60
_MOST_DOUBLE = 64
_FEWEST_DOUBLE = 4
_WORK = 4_000_000


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
    return int(market.costs[:, opened].min(axis=1).sum()) if len(market.costs) else 0


def best_places(market: Market, most: int, start: tuple[int, ...] = ()) -> list[int]:
    """Open places, at most so many, so that the total cost is small.

    Parameters
    ----------
    market
        Customers, places, and what must be open.
    most
        Enough for the start and what is required.
    start
        Where to begin; what is not required may be closed again.

    Returns
    -------
    list of int
        In rising order; fewer than ``most`` when one more would not help.
    """
    opened = with_swaps(market, with_more(market, most, start))
    return sorted(_with_double_swaps(market, opened))


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


def _with_double_swaps(market: Market, opened: list[int]) -> list[int]:
    """Make two swaps at once where that helps and one does not, then swap on from there."""
    found: list[int] | None = opened
    while found:
        opened = found
        found = _first_better(market, opened)
    return opened


def _first_better(market: Market, opened: list[int]) -> list[int] | None:
    total = total_cost(market, opened)
    for leaving, entering in _promising_swaps(market, opened):
        swapped = _swapped(opened, leaving, entering)
        changes = _swap_changes(market, swapped)
        changes[leaving] = _FORBIDDEN
        changes[:, opened[leaving]] = _FORBIDDEN
        second = divmod(int(changes.argmin()), changes.shape[1])
        if changes[second] < _FORBIDDEN // 2:
            found = with_swaps(market, _swapped(swapped, *second))
            if total_cost(market, found) < total:
                return found
    return None


def _swapped(opened: list[int], leaving: int, entering: int) -> list[int]:
    return [*opened[:leaving], entering, *opened[leaving + 1 :]]


def _promising_swaps(market: Market, opened: list[int]) -> list[tuple[int, int]]:
    """Return swaps that cost little: the cheapest for each closed place first, then the next cheapest for each."""
    changes = _swap_changes(market, opened)
    leaving = np.argsort(changes, axis=0, kind="stable")
    costs = np.take_along_axis(changes, leaving, axis=0)
    depths = np.broadcast_to(np.arange(len(opened))[:, None], costs.shape)
    order = np.lexsort((costs.ravel(), depths.ravel()))
    tries = min(_MOST_DOUBLE, max(_FEWEST_DOUBLE, _WORK // max(market.costs.size, 1)))
    pairs = [divmod(int(place), costs.shape[1]) for place in order[costs.ravel()[order] < _FORBIDDEN // 2][:tries]]
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
    cheapest = open_costs.argmin(axis=1) if len(costs) else np.zeros(0, dtype=np.int64)
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
