"""What a design would take: how true it is, and what has to be bought for it."""

from collections.abc import Callable
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from convert.buying.shopping import Purchase, shopping_list
from convert.review.confusable import colour_letters
from convert.review.knee import Spread, spread_of
from convert.review.sweep import Candidate
from shared.design import Bead


class Pack(NamedTuple):
    """How a bead is sold."""

    grams: float
    """Weight of one pack, above zero."""
    price: float | None
    """Of one pack, in the user's own money; None where unknown."""


PackOf = Callable[[Bead], Pack | None]
"""Says how a bead is sold; None where unknown."""


class Rare(NamedTuple):
    """What a design uses least."""

    key: str
    """Letters of a colour, or the whole key of a bead."""
    name: str
    """The colour in words."""
    beads: int
    """How many, without spare."""


class Figures(NamedTuple):
    """The figures of one number of colours."""

    spread: Spread
    """How far the beads are from the picture."""
    colours: int
    """Different colours used, k or fewer."""
    to_buy: int
    """Colours in sizes: lines on the shopping list."""
    rarest_colour: Rare
    """The colour used least, all its sizes together."""
    rarest_bead: Rare
    """The line of the shopping list with the lowest count."""
    centigrams: int
    """Weight of all lines with spare in hundredths of a gram, each rounded up; an estimate."""
    packs: int | None
    """Packs to buy; None unless every line's pack is known."""
    cost: Fraction | None
    """Their price; None unless every line's is known."""

    @property
    def k(self) -> int:
        """The number of colours asked for."""
        return self.spread.k

    @property
    def grams(self) -> str:
        """The weight in grams, with two decimals."""
        return f"{self.centigrams // 100}.{self.centigrams % 100:02d}"


def no_packs(_bead: Bead) -> Pack | None:
    """Know of no pack."""
    return None


def figures_of(candidate: Candidate, *, spare_percent: float, pack_of: PackOf = no_packs) -> Figures:
    """Work out the figures of a candidate.

    Parameters
    ----------
    candidate
        Number of colours, design, errors.
    spare_percent
        Added to each count before it is weighed, for instance 10.
    pack_of
        How each bead is sold.
    """
    purchases = shopping_list(candidate.design, spare_percent=spare_percent)
    by_colour = _by_colour(purchases)
    packs, cost = _packs_and_cost(purchases, pack_of)
    return Figures(
        spread=spread_of(candidate.k, candidate.errors),
        colours=len(by_colour),
        to_buy=len(purchases),
        rarest_colour=min(by_colour, key=_beads),
        rarest_bead=min((Rare(p.bead.key, p.bead.name, p.needed) for p in purchases), key=_beads),
        centigrams=sum(purchase.centigrams for purchase in purchases),
        packs=packs,
        cost=cost,
    )


def packs_needed(purchase: Purchase, pack: Pack) -> int:
    """Return how many packs hold a purchase with its spare: rounded up, exactly."""
    return ceil(Fraction(purchase.centigrams, 100) / Fraction(str(pack.grams)))


def _beads(rare: Rare) -> int:
    return rare.beads


def _by_colour(purchases: tuple[Purchase, ...]) -> list[Rare]:
    found: dict[str, Rare] = {}
    for purchase in purchases:
        letters = colour_letters(purchase.bead.key)
        before = found[letters].beads if letters in found else 0
        found[letters] = Rare(letters, purchase.bead.name, before + purchase.needed)
    return list(found.values())


def _packs_and_cost(purchases: tuple[Purchase, ...], pack_of: PackOf) -> tuple[int | None, Fraction | None]:
    packs, cost = 0, Fraction(0)
    priced = True
    for purchase in purchases:
        pack = pack_of(purchase.bead)
        if pack is None:
            return None, None
        number = packs_needed(purchase, pack)
        packs += number
        priced = priced and pack.price is not None
        cost += number * Fraction(str(pack.price or 0))
    return packs, cost if priced else None
