"""How beads are sold: the packs of a palette, and how many of them hold a purchase."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from palettes.palette import Palette, folded
from shared.design import Bead


class Pack(NamedTuple):
    """How a bead is sold."""

    grams: float
    """Weight of one pack, above zero."""
    price: float | None
    """Of one pack, in the user's own money; None where unknown."""


PackOf = Callable[[Bead], Pack | None]
"""Says how a bead is sold; None where unknown."""


def no_packs(_bead: Bead) -> Pack | None:
    """Know of no pack."""
    return None


def pack_of(palette: Palette | None) -> PackOf:
    """Return how the beads of a palette are sold, as far as it says so."""
    if palette is None:
        return no_packs
    colours = {folded(colour.name): colour for colour in palette.entries}

    def find(bead: Bead) -> Pack | None:
        colour = colours.get(folded(bead.name)) if bead.source else None
        supply = None if colour is None else colour.supply(bead.size)
        return None if supply is None or supply.pack_grams is None else Pack(supply.pack_grams, supply.price)

    return find


def packs_needed(grams: Fraction, pack: Pack) -> int:
    """Return how many packs hold a weight: rounded up, exactly."""
    return ceil(grams / Fraction(str(pack.grams)))


def cost_of(packs: int, pack: Pack) -> Fraction | None:
    """Return the price of so many packs; None where it is unknown."""
    return None if pack.price is None else packs * Fraction(str(pack.price))


def money(amount: Fraction) -> str:
    """Write an amount with two decimals, halves upwards.

    Examples
    --------
    >>> money(Fraction("12.345"))
    '12.35'
    """
    cents = (amount * 200 + 1) // 2
    return f"{cents // 100}.{cents % 100:02d}"


def grams_text(centigrams: int) -> str:
    """Write hundredths of a gram in grams."""
    return f"{centigrams // 100}.{centigrams % 100:02d}"
