"""Beads that touch, gathered into groups: the raised ones of a work are its domes."""

import numpy as np

from shared.arrays import Bools, Ints
from shared.needle import Lattice

GROUND_SHARE = 0.05
"""Share of the beads that a level must have to be the ground of a work: a stray bead is none."""

FAR = 4
"""Tops this many contacts apart are domes of their own, though their feet touch."""


def raised_beads(levels: Ints) -> Bools:
    """Return which beads stand above the ground, the lowest level that has a share of the work; shape (beads,)."""
    counts = np.bincount(levels)
    return np.asarray(levels > int((counts >= GROUND_SHARE * levels.size).argmax()))


def domes_of(grid: Lattice, levels: Ints) -> list[Ints]:
    """Gather the raised beads of a work into domes.

    Raised beads that hang together by touching are one dome, unless they have tops that are far from each other: then
    each top is a dome, and takes the beads of the common foot that are nearest to it.

    Parameters
    ----------
    grid
        The lattice.
    levels
        The level of each bead, shape (beads,).

    Returns
    -------
    list
        The beads of each dome in rising order; domes in the order of their first beads.
    """
    raised = raised_beads(levels)
    dome = _number_groups(grid, raised)
    for level in np.unique(levels[raised])[1:]:
        dome = _part_by_tops(grid, dome, _number_groups(grid, raised & (levels >= level)))
    members = raised.nonzero()[0]
    order = np.argsort(dome[members], kind="stable")
    groups = np.split(members[order], np.flatnonzero(np.diff(dome[members[order]])) + 1)
    return sorted((group for group in groups if group.size), key=lambda group: int(group[0]))


def _number_groups(grid: Lattice, chosen: Bools) -> Ints:
    """Return for each chosen bead the lowest bead of its group, -1 for the others, shape (beads,)."""
    numbers = np.full(grid.count, -1)
    members = chosen.nonzero()[0]
    if members.size:
        numbers[members] = _label_groups(grid, chosen, members)
    return numbers


def _part_by_tops(grid: Lattice, dome: Ints, tops: Ints) -> Ints:
    """Part each dome among its tops, those near to each other taken together; domes without one stay."""
    top, away = _spread_tops(grid, dome, tops)
    members = (top >= 0).nonzero()[0]
    beside = grid.neighbours[members]
    place, contact = ((beside >= 0) & (top[beside] >= 0) & (top[beside] != top[members][:, None])).nonzero()
    bead, other = members[place], beside[place, contact]
    near = (dome[bead] == dome[other]) & (away[bead] + away[other] + 1 < FAR)
    lowest = _join_pairs(top[bead[near]], top[other[near]], grid.count)
    return np.where(top >= 0, lowest[top], dome)


def _spread_tops(grid: Lattice, dome: Ints, tops: Ints) -> tuple[Ints, Ints]:
    """Return the nearest top of each bead within its dome, and how many contacts away it is."""
    top, away = tops.copy(), np.zeros(grid.count, dtype=np.int64)
    edge, steps = (tops >= 0).nonzero()[0], 0
    while edge.size:
        steps += 1
        near = grid.neighbours[edge]
        free = (near >= 0) & (top[near] < 0) & (dome[near] == dome[edge][:, None])
        beads, labels = near[free], np.broadcast_to(top[edge][:, None], near.shape)[free]
        order = np.lexsort((labels, beads))
        edge, first = np.unique(beads[order], return_index=True)
        top[edge], away[edge] = labels[order][first], steps
    return top, away


def _join_pairs(one: Ints, other: Ints, count: int) -> Ints:
    """Return for each number the lowest of those that pairs join it with, shape (count,)."""
    lowest = np.arange(count)
    while True:
        low = np.minimum(lowest[one], lowest[other])
        if (lowest[one] == low).all() and (lowest[other] == low).all():
            return lowest
        np.minimum.at(lowest, lowest[one], low)
        np.minimum.at(lowest, lowest[other], low)
        while (lowest != lowest[lowest]).any():
            lowest = lowest[lowest]


def _label_groups(grid: Lattice, chosen: Bools, members: Ints) -> Ints:
    """Return for each member the lowest bead of its group: the lowest is passed on until nothing changes.

    Each bead points to a lower one of its group; after a passing on, pointers are followed to their ends, so that
    a long group takes few turns.
    """
    place = np.full(grid.count, -1)
    place[members] = lowest = np.arange(members.size)
    beside = grid.neighbours[members]
    beside = np.where((beside >= 0) & chosen[beside], place[beside], lowest[:, None])
    while True:
        passed = lowest[beside].min(axis=1)
        if (passed == lowest).all():
            return members[lowest]
        np.minimum.at(lowest, lowest.copy(), passed)
        while (lowest != lowest[lowest]).any():
            lowest = lowest[lowest]
