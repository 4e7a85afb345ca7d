"""Colours and levels of the cells become kinds of bead: a letter for each colour, a number for each size."""

import json
from pathlib import PurePath
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.colouring.choices import DesignChoices
from convert.image.decode import Source
from convert.layout.repeat import Layout
from convert.relief.height_map import Relief
from palettes.colour import Lab
from palettes.colour_names import describe
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.colour import hex_from_codes, lab_from_codes
from shared.design import Bead, Design
from shared.letters import letters_at

if TYPE_CHECKING:
    from convert.colouring.choose_colours import ColouredWork


class Tint(NamedTuple):
    """A colour of a work, before its letter is known."""

    srgb: str
    """As ``#rrggbb``."""
    lab: Lab
    """The same in CIELAB."""
    name: str
    """In words; different from those of the others."""
    source: str = ""
    """The palette it comes from; empty for none."""


def describe_tints(codes: NDArray[np.uint8]) -> tuple[Tint, ...]:
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
    bead_sizes
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
    kind = letters_at(rank) + bead_sizes.marks[level]
    return Bead(kind, bead_sizes.sizes[level].name, tint.srgb, tint.lab, tint.name, tint.source)


def make_design(
    choices: DesignChoices,
    picture: Source,
    made_from: str,
    coloured: "ColouredWork",
    layout: Layout,
    bead_sizes: BeadSizes,
    relief: Relief,
) -> Design:
    """Put beads on the lattice: the value of the design stage. ``made_from`` is its provenance, as JSON."""
    beads, cells = assemble_beads(coloured.tints, coloured.labels, relief.levels, bead_sizes)
    title = choices.title or title_from(picture.name)
    return Design(title, layout.grid, bead_sizes, beads, cells, json.loads(made_from))


def title_from(name: str) -> str:
    """Make a title of a file name.

    Examples
    --------
    >>> title_from("samples/tide-pool.png")
    'Tide pool'
    """
    words = " ".join(PurePath(name).stem.replace("-", " ").replace("_", " ").split())
    printable = "".join(letter for letter in words if letter.isprintable()).strip()
    return printable[:1].upper() + printable[1:] or "Untitled"
