"""What a palette offers to a work under given wishes: names resolved, contradictions refused."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from palettes.match_request import CellsToMatch, Wishes
from palettes.matching.candidates import CandidateBeads, count_colours, count_kinds, least_cover, p_median_of
from palettes.matching.checks import check_ground, check_kept, check_sizes, check_wishes
from palettes.matching.merge_cells import merge_cells
from palettes.matching.p_median import PMedian
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
class MatchProblem:
    """What can be chosen for some cells.

    Parameters
    ----------
    cells
        What is to be matched.
    palette
        Where the colours come from.
    candidates
        What can be chosen; each counts as one.
    required
        Sets of candidates, of each of which one must be chosen.
    cover
        The fewest that fulfil what is required and serve every size.
    free
        The cells whose colour is to be chosen, shape (cells,).
    ground
        The place in the palette of the colour of the others; -1 when there are none.
    """

    cells: CellsToMatch
    palette: Palette
    candidates: CandidateBeads
    required: tuple[frozenset[int], ...]
    cover: tuple[int, ...]
    free: Bools
    ground: int

    def p_median(self, *, most_points: int) -> PMedian:
        """Return what the free cells cost at each candidate, near cells merged to at most so many points."""
        points = merge_cells(self.cells.lab[self.free], self.cells.levels[self.free], most=most_points)
        return p_median_of(points, self.palette.lab, self.candidates, self.required)

    def assign(self, chosen: Sequence[int]) -> Assigned:
        """Give each cell the nearest of the chosen candidates that serves its size, or the ground colour."""
        taken, levels = np.asarray(chosen), self.cells.levels
        entries, errors = np.empty(len(levels), dtype=np.int64), np.empty(len(levels))
        for level in np.unique(levels[self.free]).tolist():
            mine = (self.free & (levels == level)).nonzero()[0]
            offered = np.unique(self.candidates.entries[taken[self.candidates.serves[taken, level]]])
            labels, errors[mine] = nearest_colours(self.cells.lab[mine], self.palette.lab[offered])
            entries[mine] = offered[labels]
        ground = (~self.free).nonzero()[0]
        if ground.size:
            entries[ground] = self.ground
            errors[ground] = nearest_colours(self.cells.lab[ground], self.palette.lab[[self.ground]])[1]
        return Assigned(entries, errors)

    def serving(self, chosen: Sequence[int], entries: Ints) -> list[int]:
        """Return those of the chosen candidates that serve a cell when each has the given entry of the palette."""
        served = np.zeros((len(self.palette.entries), self.candidates.serves.shape[1]), dtype=np.bool_)
        served[entries, self.cells.levels] = True
        serves: Bools = np.any(served[self.candidates.entries] & self.candidates.serves, axis=1)
        return [one for one in chosen if serves[one]]


def pose_problem(cells: CellsToMatch, palette: Palette, bead_sizes: BeadSizes, wishes: Wishes) -> MatchProblem:
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
    candidates = (count_colours if wishes.count == "colours" else count_kinds)(exists, levels)
    in_ground = [candidates.with_colour(ground) & candidates.in_level(level) for level in ground_levels.tolist()]
    required = tuple(dict.fromkeys([*in_ground, *(candidates.with_colour(entry) for entry in kept)]))
    everything = sum(1 << level for level in np.unique(cells.levels[free]).tolist())
    cover = least_cover(candidates.masks, required, everything)
    return MatchProblem(cells, palette, candidates, required, cover, free, ground)


def _ground(cells: CellsToMatch, palette: Palette, wishes: Wishes) -> tuple[Bools, int]:
    """Return which cells are not ground, and the place of the ground colour in the palette, or -1."""
    if cells.ground is None or not wishes.ground or not cells.ground.any():
        return np.ones(len(cells.levels), dtype=np.bool_), -1
    return ~cells.ground, palette.place_of(wishes.ground)
