"""The same work with each of several numbers of colours."""

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.assemble import Coloured, assemble_beads
from convert.review.warm import free_palettes
from shared.beads import Ladder
from shared.design import Design
from shared.grid import Ints

Floats = NDArray[np.float64]

Choose = Callable[[Sequence[int]], Iterable[Coloured]]
"""Gives beads to the cells of a work for each of several numbers of colours, in their order."""


class Candidate(NamedTuple):
    """The work with at most so many colours."""

    k: int
    """The number of colours it was made for."""
    design: Design
    """The design."""
    errors: Floats
    """CIEDE2000 of each bead to the picture's mean over its footprint, shape (beads,)."""


def sweep(numbers: Sequence[int], choose: Choose, design_of: Callable[[Coloured], Design]) -> tuple[Candidate, ...]:
    """Make the design for each number of colours.

    Parameters
    ----------
    numbers
        Rising.
    choose
        Where the beads come from: `free_choice`, or a choice among beads that exist.
    design_of
        Puts beads on the lattice.
    """
    found = zip(numbers, choose(numbers), strict=True)
    return tuple(Candidate(k, design_of(coloured), coloured.errors) for k, coloured in found)


def free_choice(cells_lab: Floats, levels: Ints, ladder: Ladder) -> Choose:
    """Return a choice of colours worked out from the picture alone.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    levels
        The rung of each cell, shape (cells,).
    ladder
        The sizes.
    """

    def choose(numbers: Sequence[int]) -> Iterable[Coloured]:
        for chosen in free_palettes(cells_lab, numbers):
            yield Coloured(*assemble_beads(chosen.codes, chosen.labels, levels, ladder), chosen.errors)

    return choose


def different(candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """Leave out what a colour more did not change: a picture may have fewer colours than are tried."""
    kept = list(candidates[:1])
    for candidate in candidates[1:]:
        last, design = kept[-1].design, candidate.design
        if design.beads != last.beads or not np.array_equal(design.cells, last.cells):
            kept.append(candidate)
    return tuple(kept)
