"""The fewest places that serve every size at all."""

from collections.abc import Sequence


def least_cover(serves: Sequence[int], required: Sequence[frozenset[int]], everything: int) -> tuple[int, ...]:
    """Find the fewest places, required ones included, that together serve everything.

    Parameters
    ----------
    serves
        For each place a bit mask of what it serves.
    required
        Sets of places, of each of which one is taken; sets of one place first is best.
    everything
        The bit mask to be reached.

    Returns
    -------
    tuple of int
        Places, the earliest where several would do.

    Raises
    ------
    ValueError
        When all places together do not serve everything.
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
    """Take one place of a set, unless one is taken already, in every way that serves something else."""
    found: dict[int, tuple[int, ...]] = {}
    for mask, chosen in reached.items():
        fulfilled = not set(places).isdisjoint(chosen)
        directions = [(mask, chosen)] if fulfilled else [(mask | serves[place], (*chosen, place)) for place in places]
        for after, taken in directions:
            if after not in found or len(taken) < len(found[after]):
                found[after] = taken
    return found
