"""Colours and levels of the cells become beads with keys."""

import numpy as np
from numpy.typing import NDArray

from palettes.names import describe
from shared.beads import Ladder
from shared.colour import hex_from_codes, lab_from_codes
from shared.design import Bead, letters
from shared.grid import Ints


def assemble_beads(
    codes: NDArray[np.uint8], labels: Ints, levels: Ints, ladder: Ladder
) -> tuple[tuple[Bead, ...], Ints]:
    """Make the list of beads, colour by colour and size by size, and the place of each cell in it.

    Parameters
    ----------
    codes
        8-bit sRGB of each colour in falling order of count, shape (colours, 3).
    labels
        The colour of each cell, shape (cells,).
    levels
        The rung of each cell, shape (cells,).
    ladder
        The sizes.

    Returns
    -------
    beads, cells
        Only colours in sizes that some cell has; cells has shape (cells,).
    """
    rungs = len(ladder.sizes)
    kinds, cells = np.unique(labels * rungs + levels, return_inverse=True)
    names = describe(codes)
    labs = np.round(lab_from_codes(codes), 4) + 0.0
    beads = tuple(
        Bead(
            key=letters(colour) + ladder.marks[rung],
            size=ladder.sizes[rung].name,
            srgb=hex_from_codes(codes[colour]),
            lab=tuple(labs[colour].tolist()),
            name=names[colour],
        )
        for colour, rung in (divmod(kind, rungs) for kind in kinds.tolist())
    )
    return beads, cells.reshape(-1).astype(np.int64)
