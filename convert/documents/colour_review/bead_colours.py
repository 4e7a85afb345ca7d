"""Which colour of a reviewed design each bead has."""

from collections.abc import Sequence

import numpy as np

from convert.documents.colour_review.review import Colour
from shared.arrays import Ints
from shared.design import Design


def colour_of_beads(design: Design, colours: Sequence[Colour]) -> Ints:
    """Return the place in ``colours`` of the colour of each bead of the grid, shape (beads,)."""
    of_key = {bead.kind: place for place, colour in enumerate(colours) for bead, _ in colour.beads}
    return np.array([of_key[bead.kind] for bead in design.beads], dtype=np.int64)[design.cells]
