"""What a palette offers to a work under given wishes: names resolved, contradictions refused."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from palettes.match_request import Cells, Wishes
from palettes.matching.candidates import Stalls, beads_as_stalls, colours_as_stalls, market_of
from palettes.matching.checks import check_ground, check_kept, check_sizes, check_wishes
from palettes.matching.merge_cells import merged
from palettes.matching.p_median import Market
from palettes.matching.set_cover import least_cover
from palettes.palette import Palette
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSizes
from shared.nearest_colour import nearest_colours


class Assigned(NamedTuple):
    """The colour of each cell."""

    entries: Ints
    """Its place in the palette, shape (cells,)."""
    errors: Floats
    """CIEDE2000 of each cell to it, shape (cells,)."""


@dataclass(frozen=True, slots=True, eq=False)
class Offer:
    """What can be chosen for some cells.

    Parameters
    ----------
    cells
        What is to be matched.
    palette
        Where the colours come from.
    stalls
        What can be chosen; each counts as one.
    required
        Sets of stalls, of each of which one must be chosen.
    cover
        The fewest that fulfil what is required and serve every size.
    free
        The cells whose colour is to be chosen, shape (cells,).
    ground
        The place in the palette of the colour of the others; -1 when there are none.
    """

    cells: Cells
    palette: Palette
    stalls: Stalls
    required: tuple[frozenset[int], ...]
    cover: tuple[int, ...]
    free: Bools
    ground: int

    def market(self, *, most_points: int) -> Market:
        """Return what the free cells cost at each stall, near cells merged to about so many points."""
        points = merged(self.cells.lab[self.free], self.cells.levels[self.free], most=most_points)
        return market_of(points, self.palette.lab, self.stalls, self.required)

    def assigned(self, chosen: Sequence[int]) -> Assigned:
        """Give each cell the nearest of the chosen stalls that serves its size, or the ground colour."""
        stalls, levels = np.asarray(chosen), self.cells.levels
        entries, errors = np.empty(len(levels), dtype=np.int64), np.empty(len(levels))
        for level in np.unique(levels[self.free]).tolist():
            mine = (self.free & (levels == level)).nonzero()[0]
            offered = np.unique(self.stalls.entries[stalls[self.stalls.serves[stalls, level]]])
            labels, errors[mine] = nearest_colours(self.cells.lab[mine], self.palette.lab[offered])
            entries[mine] = offered[labels]
        ground = (~self.free).nonzero()[0]
        if ground.size:
            entries[ground] = self.ground
            errors[ground] = nearest_colours(self.cells.lab[ground], self.palette.lab[[self.ground]])[1]
        return Assigned(entries, errors)

    def busy(self, chosen: Sequence[int], entries: Ints) -> list[int]:
        """Return those of the chosen stalls that serve a cell when each has the given entry of the palette."""
        served = np.zeros((len(self.palette.entries), self.stalls.serves.shape[1]), dtype=np.bool_)
        served[entries, self.cells.levels] = True
        serving: Bools = np.any(served[self.stalls.entries] & self.stalls.serves, axis=1)
        return [stall for stall in chosen if serving[stall]]


def offer_for(cells: Cells, palette: Palette, bead_sizes: BeadSizes, wishes: Wishes) -> Offer:
    """Work out what can be chosen.

    Raises
    ------
    BadChoiceError
        When no colour can be had in a size that is needed, a name is not in the palette, or wishes contradict each
        other.
    """
    check_wishes(wishes, palette)
    exists, levels = palette.exists(bead_sizes), np.unique(cells.levels)
    exists[[palette.place_of(name) for name in wishes.never]] = False
    kept = [palette.place_of(name) for name in wishes.keep]
    free, ground = _ground(cells, palette, wishes)
    ground_levels = np.unique(cells.levels[~free])
    check_ground(ground, ground_levels, exists, palette, bead_sizes)
    check_sizes(cells, free, exists, palette, bead_sizes)
    check_kept(kept, levels, exists, palette, bead_sizes)
    stalls = (colours_as_stalls if wishes.count == "colours" else beads_as_stalls)(exists, levels)
    in_ground = [stalls.with_colour(ground) & stalls.in_level(level) for level in ground_levels.tolist()]
    required = tuple(dict.fromkeys([*in_ground, *(stalls.with_colour(entry) for entry in kept)]))
    everything = sum(1 << level for level in np.unique(cells.levels[free]).tolist())
    cover = least_cover(stalls.masks, required, everything)
    return Offer(cells, palette, stalls, required, cover, free, ground)


def _ground(cells: Cells, palette: Palette, wishes: Wishes) -> tuple[Bools, int]:
    """Return which cells are not ground, and the place of the ground colour in the palette, or -1."""
    if cells.ground is None or not wishes.ground or not cells.ground.any():
        return np.ones(len(cells.levels), dtype=np.bool_), -1
    return ~cells.ground, palette.place_of(wishes.ground)
