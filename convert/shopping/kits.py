"""What to buy for one work, or for kits, beside what is at hand."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from convert.shopping.packs import Pack, PackOf, cost_of, grams_text, money, no_packs, packs_needed
from convert.shopping.shopping import HEADER, shopping_list
from shared.csv_safe import table_csv
from shared.design import Bead, Design

MORE = ("on hand", "to buy", "grams to buy", "pack grams")
"""Columns beside those of the shopping list of a design."""


class Item(NamedTuple):
    """One bead to have, in a bag for each work."""

    bead: Bead
    """The colour in a size."""
    needed: int
    """How many one work takes."""
    bag: int
    """How many go with one work, spare included, rounded up."""
    bag_centigrams: int
    """What they weigh, in hundredths of a gram, rounded up."""
    works: int
    """How many works, or kits."""
    on_hand: int
    """How many of all are at hand, rounded down."""
    buy_centigrams: int
    """What is to be bought, rounded up."""
    pack: Pack | None
    """How they are sold; None where unknown."""

    @property
    def total(self) -> int:
        """How many beads all works take, spare included."""
        return self.works * self.bag

    @property
    def total_centigrams(self) -> int:
        """What all bags weigh together."""
        return self.works * self.bag_centigrams

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


def basket(
    design: Design,
    *,
    spare_percent: float,
    works: int = 1,
    pack_of: PackOf = no_packs,
    hand_grams: Mapping[str, Fraction] | None = None,
) -> tuple[Item, ...]:
    """List what to have and to buy, in the order of the design's beads.

    Rounding is upwards and exact: no bag is short, and so many bags of that weight can be filled.

    Parameters
    ----------
    design
        The design; the bead sizes in it says how many beads of a size weigh a gram.
    spare_percent
        Added to each count, for instance 10.
    works
        How many are made of it.
    pack_of
        How each bead is sold.
    hand_grams
        What is at hand, by key.
    """
    hand = hand_grams or {}
    items = []
    for bag in shopping_list(design, spare_percent=spare_percent):
        bead = bag.bead
        per_gram = Fraction(str(design.bead_sizes.sizes[design.bead_sizes.level_of[bead.size]].per_gram))
        grams = hand.get(bead.kind, Fraction(0))
        on_hand = floor(grams * per_gram)
        missing = max(0, works * bag.with_spare - on_hand) / per_gram
        if works > 1:
            missing = max(missing, works * Fraction(bag.centigrams, 100) - grams)
        pack = pack_of(bead)
        items.append(Item(bead, bag.needed, bag.with_spare, bag.centigrams, works, on_hand, ceil(100 * missing), pack))
    return tuple(items)


def basket_csv(items: tuple[Item, ...]) -> str:
    """Write the list as CSV (RFC 4180), cells made inert: the columns of a design's list, for all works, and `MORE`."""
    rows = []
    for item in items:
        bead = item.bead
        counts = (str(item.works * item.needed), str(item.total), grams_text(item.total_centigrams))
        packs = "" if item.packs is None else str(item.packs)
        cost = "" if item.cost is None else money(item.cost)
        more = (str(item.on_hand), str(item.to_buy), grams_text(item.buy_centigrams))
        pack = "" if item.pack is None else f"{item.pack.grams:.10g}"
        rows.append((bead.kind, bead.size, bead.srgb, bead.name, *counts, packs, cost, *more, pack))
    return table_csv((*HEADER, *MORE), rows)


def kits_csv(items: tuple[Item, ...]) -> str:
    """Write what goes into each bag of a kit as CSV (RFC 4180), cells made inert."""
    header = ("key", "size", "colour", "name", "count", "in each bag", "grams each bag", "kits", "beads", "grams")
    rows = [
        (
            item.bead.kind,
            item.bead.size,
            item.bead.srgb,
            item.bead.name,
            str(item.needed),
            str(item.bag),
            grams_text(item.bag_centigrams),
            str(item.works),
            str(item.total),
            grams_text(item.total_centigrams),
        )
        for item in items
    ]
    return table_csv(header, rows)
