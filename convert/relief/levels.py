"""From heights to bead sizes: levels, and the size-step rule kept in every repeat alike."""

import numpy as np

from convert.relief.choices import Slopes
from shared.arrays import Floats, Ints
from shared.needle import Lattice
from shared.size_steps import keep_size_step_rule

_GRAIN = 1e-6


def equal_thresholds(levels: int) -> tuple[float, ...]:
    """Return the heights that cut 0 … 1 into as many equal levels as there are levels.

    Examples
    --------
    >>> equal_thresholds(4)
    (0.25, 0.5, 0.75)
    """
    return tuple(step / levels for step in range(1, levels))


def cut_levels(heights: Floats, thresholds: tuple[float, ...]) -> Ints:
    """Return the level of each bead: how many thresholds its height reaches.

    Parameters
    ----------
    heights
        0 … 1, shape (beads,). Compared to a millionth, so that rounding does not decide.
    thresholds
        Rising.
    """
    return np.searchsorted(np.asarray(thresholds), heights + _GRAIN, side="right").astype(np.int64)


def keep_repeats_alike(wanted: Ints, motif_bead: Ints, grid: Lattice, *, slopes: Slopes) -> Ints:
    """Lay a motif over a work, under the size-step rule across each seam and at both ends, all repeats alike.

    First and last rows stay flat, so slopes to them are taken off the motif, of every repeat alike.

    Parameters
    ----------
    wanted
        Levels of the motif's beads, shape (motif beads,).
    motif_bead
        Which of them each bead of the work equals, -1 for plain ones, shape (beads,).
    grid
        The lattice of the work.
    slopes
        See `keep_size_step_rule`.
    """
    seen = motif_bead >= 0
    levels = np.where(seen, wanted[motif_bead], 0)
    if slopes == "widen":
        levels = np.where(seen, _rule_alike(levels, motif_bead, grid, slopes), 0)
    return _rule_alike(levels, motif_bead, grid, "trim")


def _rule_alike(levels: Ints, motif_bead: Ints, grid: Lattice, slopes: Slopes) -> Ints:
    """Keep the rule with all repeats alike: the highest such field under the levels, or the lowest over them."""
    while True:
        ruled = keep_size_step_rule(levels, grid, slopes=slopes)
        alike = _make_alike(ruled, motif_bead, slopes)
        if np.array_equal(alike, levels):
            return levels
        levels = alike


def _make_alike(levels: Ints, motif_bead: Ints, slopes: Slopes) -> Ints:
    """Give all beads that equal one bead of the motif the lowest of their levels, or the highest."""
    seen = motif_bead >= 0
    extreme, none = (np.minimum, np.iinfo(np.int64).max) if slopes == "trim" else (np.maximum, -1)
    of_motif = np.full(int(motif_bead.max()) + 1, none)
    extreme.at(of_motif, motif_bead[seen], levels[seen])
    return np.where(seen, of_motif[motif_bead], levels)
