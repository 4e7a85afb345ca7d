"""Colours that hardly any bead has are given up: a pack would be bought for a handful."""

import numpy as np

from shared.arrays import Bools, Floats, Ints
from shared.ciede2000 import difference_table


def give_up_rare_colours(
    cells_lab: Floats, palette_lab: Floats, labels: Ints, fewest: int, allowed: Bools, *, spared: Bools | None = None
) -> Ints:
    """Give up colours that fewer cells than ``fewest`` have, the cheapest first, until none is left.

    Each cell of a colour that is given up takes the nearest of those that stay and that it may have. A colour
    stays, however rare, when one of its cells could have no other.

    Parameters
    ----------
    cells_lab
        What the picture shows, CIELAB, shape (cells, 3).
    palette_lab
        The colours, shape (colours, 3).
    labels
        The colour of each cell, shape (cells,).
    fewest
        How many cells a colour must have at least.
    allowed
        Which cell may have which colour, shape (cells, colours).
    spared
        Colours that stay, however rare, shape (colours,). None for none.
    """
    labels = labels.copy()
    given_up = np.ones(len(palette_lab), dtype=bool) if spared is None else ~spared
    while True:
        counts = np.bincount(labels, minlength=len(palette_lab))
        rare = np.flatnonzero((counts > 0) & (counts < fewest) & given_up).tolist()
        moves = [move for colour in rare if (move := _give_up(cells_lab, palette_lab, labels, colour, allowed))]
        if not moves:
            return labels
        _, cells, takes = min(moves, key=lambda move: move[0])
        labels[cells] = takes


def _give_up(
    cells_lab: Floats, palette_lab: Floats, labels: Ints, colour: int, allowed: Bools
) -> tuple[float, Ints, Ints] | None:
    """Return what giving up a colour costs, its cells, and what they take; None where a cell has no choice."""
    cells = np.flatnonzero(labels == colour)
    used = np.bincount(labels, minlength=len(palette_lab)) > 0
    table = difference_table(cells_lab[cells], palette_lab).astype(np.float64)
    open_to = np.where(allowed[cells] & used & (np.arange(len(palette_lab)) != colour), table, np.inf)
    takes = open_to.argmin(axis=1)
    nearest = open_to[np.arange(len(cells)), takes]
    if not np.isfinite(nearest).all():
        return None
    return float((nearest - table[:, colour]).sum()), cells, takes
