"""The same work with each of several numbers of colours."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.design import Design

Floats = NDArray[np.float64]


class Candidate(NamedTuple):
    """The work with at most so many colours."""

    k: int
    """The number of colours it was made for."""
    design: Design
    """The design."""
    errors: Floats
    """CIEDE2000 of each bead to what the picture shows on it, shape (beads,)."""


def different(candidates: Sequence[Candidate]) -> tuple[Candidate, ...]:
    """Leave out what a colour more did not change: a picture may have fewer colours than are tried."""
    kept = list(candidates[:1])
    for candidate in candidates[1:]:
        last, design = kept[-1].design, candidate.design
        if design.beads != last.beads or not np.array_equal(design.cells, last.cells):
            kept.append(candidate)
    return tuple(kept)
