"""The shopping list: how many of each bead, with spare, and what they weigh."""

from fractions import Fraction
from math import ceil
from typing import NamedTuple

from convert.shopping.packs import Pack, PackOf, cost_of, grams_text, money, no_packs, packs_needed
from shared.beads import BeadSizes
from shared.csv_safe import table_csv
from shared.design import Bead, Design

HEADER = ("key", "size", "colour", "name", "count", "with spare", "grams", "packs", "cost")


class Purchase(NamedTuple):
    """One line of the shopping list."""

    bead: Bead
    """The colour in a size."""
    needed: int
    """How many the work takes."""
    with_spare: int
    """How many to have, rounded up."""
    centigrams: int
    """Their weight in hundredths of a gram, rounded up; an estimate from beads per gram."""
    packs: int | None = None
    """Packs that hold them; None where it is unknown how they are sold."""
    cost: Fraction | None = None
    """Price of those packs; None where unknown."""

    @property
    def grams(self) -> str:
        """The weight in grams, with two decimals."""
        return grams_text(self.centigrams)


def shopping_list(design: Design, *, spare_percent: float, pack_of: PackOf = no_packs) -> tuple[Purchase, ...]:
    """List what a design takes, in the order of its beads.

    Rounding is upwards and exact: no figure is ever less than needed.

    Parameters
    ----------
    design
        The design; the bead sizes in it says how many beads of a size weigh a gram.
    spare_percent
        Added to each count, for instance 10.
    pack_of
        How each bead is sold.
    """
    factor = 1 + Fraction(str(spare_percent)) / 100
    return tuple(
        _purchase(bead, count, factor, design.bead_sizes, pack_of(bead))
        for bead, count in zip(design.beads, design.counts.tolist(), strict=True)
    )


def beads_csv(purchases: tuple[Purchase, ...]) -> str:
    """Write the list as CSV (RFC 4180). Cells that a spreadsheet would run as a formula are made inert."""
    return table_csv(HEADER, [_cells(purchase) for purchase in purchases])


def _cells(purchase: Purchase) -> tuple[str, ...]:
    bead = purchase.bead
    packs = "" if purchase.packs is None else str(purchase.packs)
    cost = "" if purchase.cost is None else money(purchase.cost)
    counts = (str(purchase.needed), str(purchase.with_spare), purchase.grams)
    return (bead.kind, bead.size, bead.srgb, bead.name, *counts, packs, cost)


def _purchase(bead: Bead, count: int, factor: Fraction, bead_sizes: BeadSizes, pack: Pack | None) -> Purchase:
    with_spare = ceil(count * factor)
    per_gram = Fraction(str(bead_sizes.sizes[bead_sizes.level_of[bead.size]].per_gram))
    centigrams = ceil(100 * with_spare / per_gram)
    if pack is None:
        return Purchase(bead, count, with_spare, centigrams)
    packs = packs_needed(Fraction(centigrams, 100), pack)
    return Purchase(bead, count, with_spare, centigrams, packs, cost_of(packs, pack))
