"""What is at hand already: the beads of a design that a stash holds."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE
from shared.design import Design


class Hand(NamedTuple):
    """What of a design is at hand."""

    grams: Mapping[str, Fraction]
    """By key of the bead."""
    notes: tuple[str, ...]
    """What a person should know of it."""


def at_hand(design: Design, stash: Palette) -> Hand:
    """Find the beads of a design in a stash: colours of the same name, in the same size.

    A colour that was not taken from a palette must have the very same hue as well, for words for colours are shared
    by many. Nothing in the stash is given to two beads.
    """
    colours = {folded(colour.name): colour for colour in stash.entries}
    grams: dict[str, Fraction] = {}
    taken: set[tuple[str, str]] = set()
    notes = []
    for bead in design.beads:
        colour = colours.get(folded(bead.name))
        supply = None if colour is None else colour.supply(bead.size)
        if colour is None or supply is None or not supply.grams or not (bead.source or colour.srgb == bead.srgb):
            continue
        if supply.size == EVERY_SIZE:
            notes.append(
                f"{colour.name} is weighed for all sizes together, so none of it was counted; give each its line"
            )
        elif (folded(bead.name), bead.size) not in taken:
            taken.add((folded(bead.name), bead.size))
            grams[bead.kind] = Fraction(str(supply.grams))
    if not grams:
        notes.append(
            f"{stash.name} holds no bead of this design by name and size, so nothing was taken off; "
            "make the design of the stash with --palette"
        )
    return Hand(grams, tuple(dict.fromkeys(notes)))
