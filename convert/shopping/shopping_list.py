"""The shopping list: how many beads of each kind for one work or for kits, with spare, packs, less what is at hand."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from convert.shopping.packs import Pack, PackOf, cost_of, grams_text, money, no_packs, packs_needed
from shared.csv_safe import table_csv
from shared.design import Bead, Design

HEADER = ("kind", "size", "colour", "name", "count", "with spare", "grams", "packs", "cost")
"""Columns of the list of a design."""

MORE = ("on hand", "to buy", "grams to buy", "pack grams")
"""Columns that follow them where it is told what is at hand."""

KITS_HEADER = ("kind", "size", "colour", "name", "count", "in each bag", "grams each bag", "kits", "beads", "grams")


class Purchase(NamedTuple):
    """One line of the shopping list: the beads of one kind, in a bag for each work."""

    bead: Bead
    needed: int
    """How many one work takes."""
    with_spare: int
    """How many go with one work, rounded up."""
    centigrams: int
    """Their weight in hundredths of a gram, rounded up; an estimate from beads per gram."""
    buy_centigrams: int
    """What is to be bought for all works, rounded up."""
    works: int = 1
    on_hand: int = 0
    """How many beads of all are at hand, rounded down."""
    pack: Pack | None = None
    """How they are sold; None where unknown."""

    @property
    def grams(self) -> str:
        """The weight for one work in grams, with two decimals."""
        return grams_text(self.centigrams)

    @property
    def total(self) -> int:
        """How many beads all works take, spare included."""
        return self.works * self.with_spare

    @property
    def total_centigrams(self) -> int:
        """What all bags weigh together."""
        return self.works * self.centigrams

    @property
    def to_buy(self) -> int:
        """How many beads are missing."""
        return max(0, self.total - self.on_hand)

    @property
    def packs(self) -> int | None:
        """Packs that hold what is to be bought; None where it is unknown how they are sold."""
        return None if self.pack is None else packs_needed(Fraction(self.buy_centigrams, 100), self.pack)

    @property
    def cost(self) -> Fraction | None:
        """Price of the packs; None where unknown."""
        return None if self.pack is None or self.packs is None else cost_of(self.packs, self.pack)


def shopping_list(
    design: Design,
    *,
    spare_percent: float,
    works: int = 1,
    pack_of: PackOf = no_packs,
    hand_grams: Mapping[str, Fraction] | None = None,
) -> tuple[Purchase, ...]:
    """List what to have and to buy, in the order of the design's beads.

    Rounding is upwards and exact: no figure is ever less than needed, no bag is short, and the grams bought fill as
    many bags of their weight as there are works.

    Parameters
    ----------
    design
        The design; the bead sizes in it say how many beads of a size weigh a gram.
    """
    # Fractions, for in binary fractions 1.1 x 100 is a little over 110 and would be rounded up to 111.
    factor = 1 + Fraction(str(spare_percent)) / 100
    hand = hand_grams or {}
    purchases = []
    for bead, needed in zip(design.beads, design.counts.tolist(), strict=True):
        per_gram = Fraction(str(design.bead_sizes.sizes[design.bead_sizes.level_of[bead.size]].per_gram))
        with_spare = ceil(needed * factor)
        centigrams = ceil(100 * with_spare / per_gram)
        grams = hand.get(bead.kind, Fraction(0))
        on_hand = floor(grams * per_gram)
        missing = max(0, works * with_spare - on_hand) / per_gram
        if works > 1:
            # Each bag is weighed by itself and rounded up, so together they may take more than their beads weigh.
            missing = max(missing, works * Fraction(centigrams, 100) - grams)
        buy = ceil(100 * missing)
        purchases.append(Purchase(bead, needed, with_spare, centigrams, buy, works, on_hand, pack_of(bead)))
    return tuple(purchases)


def beads_csv(purchases: tuple[Purchase, ...]) -> str:
    """Write the list for all works as CSV (RFC 4180); cells that spreadsheets would run as formulas are made inert."""
    return table_csv(HEADER, [_cells(purchase) for purchase in purchases])


def shopping_csv(purchases: tuple[Purchase, ...]) -> str:
    """Write the list as `beads_csv` does, and after its columns those of `MORE`."""
    return table_csv((*HEADER, *MORE), [(*_cells(purchase), *_more_cells(purchase)) for purchase in purchases])


def kits_csv(purchases: tuple[Purchase, ...]) -> str:
    """Write what goes into each bag of a kit as CSV (RFC 4180), cells made inert."""
    return table_csv(KITS_HEADER, [_kit_cells(purchase) for purchase in purchases])


def _bead_cells(bead: Bead) -> tuple[str, ...]:
    return bead.kind, bead.size, bead.srgb, bead.name


def _cells(purchase: Purchase) -> tuple[str, ...]:
    packs = "" if purchase.packs is None else str(purchase.packs)
    cost = "" if purchase.cost is None else money(purchase.cost)
    counts = (str(purchase.works * purchase.needed), str(purchase.total), grams_text(purchase.total_centigrams))
    return (*_bead_cells(purchase.bead), *counts, packs, cost)


def _more_cells(purchase: Purchase) -> tuple[str, ...]:
    pack = "" if purchase.pack is None else f"{purchase.pack.grams:.10g}"
    return str(purchase.on_hand), str(purchase.to_buy), grams_text(purchase.buy_centigrams), pack


def _kit_cells(purchase: Purchase) -> tuple[str, ...]:
    bag = (str(purchase.needed), str(purchase.with_spare), purchase.grams)
    kits = (str(purchase.works), str(purchase.total), grams_text(purchase.total_centigrams))
    return (*_bead_cells(purchase.bead), *bag, *kits)
