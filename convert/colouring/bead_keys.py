"""Colours and levels of the cells become beads with keys."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from palettes.colour import Lab
from palettes.colour_names import describe
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.colour import hex_from_codes, lab_from_codes
from shared.design import Bead, letter_of, letters_at


class Tint(NamedTuple):
    """A colour of a work, before its keys are known."""

    srgb: str
    """As ``#rrggbb``."""
    lab: Lab
    """The same in CIELAB."""
    name: str
    """In words; different from those of the others."""
    source: str = ""
    """The palette it comes from; empty for none."""


class Coloured(NamedTuple):
    """A work in few colours."""

    beads: tuple[Bead, ...]
    """Colour by colour, in falling order of count, and size by size."""
    cells: Ints
    """The place of each cell in ``beads``, shape (cells,)."""
    errors: NDArray[np.float64]
    """CIEDE2000 of each cell to its bead, shape (cells,)."""

    @property
    def colours(self) -> int:
        """How many colours there are: so many letters the keys have."""
        return len({letter_of(bead.kind) for bead in self.beads})


def described(codes: NDArray[np.uint8]) -> tuple[Tint, ...]:
    """Make tints of 8-bit sRGB codes, shape (colours, 3), with plain descriptions as names."""
    labs = np.round(lab_from_codes(codes), 4) + 0.0
    return tuple(
        Tint(hex_from_codes(code), (float(lab[0]), float(lab[1]), float(lab[2])), name)
        for code, lab, name in zip(codes, labs, describe(codes), strict=True)
    )


def assemble_beads(
    tints: tuple[Tint, ...], labels: Ints, levels: Ints, bead_sizes: BeadSizes
) -> tuple[tuple[Bead, ...], Ints]:
    """Make the list of beads, colour by colour and size by size, and the place of each cell in it.

    Parameters
    ----------
    tints
        The colours; the first of equally frequent ones gets the first letter.
    labels
        The colour of each cell, shape (cells,).
    levels
        The level of each cell, shape (cells,).
    ladder
        The sizes.

    Returns
    -------
    beads, cells
        Only colours in sizes that some cell has; cells has shape (cells,).
    """
    order, ranks = _by_count(labels, len(tints))
    steps = len(bead_sizes.sizes)
    kinds, cells = np.unique(ranks * steps + levels, return_inverse=True)
    beads = tuple(
        _bead(tints[order[rank]], rank, level, bead_sizes)
        for rank, level in (divmod(kind, steps) for kind in kinds.tolist())
    )
    return beads, cells.reshape(-1).astype(np.int64)


def _by_count(labels: Ints, colours: int) -> tuple[list[int], Ints]:
    """Return the colours in falling order of count, and the rank of each cell's."""
    counts = np.bincount(labels, minlength=colours)
    order = np.argsort(-counts, kind="stable")
    rank = np.empty(colours, dtype=np.int64)
    rank[order] = np.arange(colours)
    return order.tolist(), rank[labels]


def _bead(tint: Tint, rank: int, level: int, bead_sizes: BeadSizes) -> Bead:
    key = letters_at(rank) + bead_sizes.marks[level]
    return Bead(key, bead_sizes.sizes[level].name, tint.srgb, tint.lab, tint.name, tint.source)
