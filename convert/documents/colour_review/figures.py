"""What a design would take: how true it is, and what has to be bought for it."""

from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple, TypeVar

from convert.colouring.colour_count import Spread, spread_of
from convert.colouring.sweep import Candidate
from convert.shopping.packs import PackOf, no_packs
from convert.shopping.shopping_list import Purchase, shopping_list
from shared.design import letter_of

Number = TypeVar("Number", int, Fraction)


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
    purchases = shopping_list(candidate.design, spare_percent=spare_percent, pack_of=pack_of)
    by_colour = _by_colour(purchases)
    return Figures(
        spread=spread_of(candidate.k, candidate.errors),
        colours=len(by_colour),
        to_buy=len(purchases),
        rarest_colour=min(by_colour, key=_beads),
        rarest_bead=min((Rare(p.bead.kind, p.bead.name, p.needed) for p in purchases), key=_beads),
        centigrams=sum(purchase.centigrams for purchase in purchases),
        packs=_sum([purchase.packs for purchase in purchases]),
        cost=_sum([purchase.cost for purchase in purchases]),
    )


def _beads(rare: Rare) -> int:
    return rare.beads


def _by_colour(purchases: tuple[Purchase, ...]) -> list[Rare]:
    found: dict[str, Rare] = {}
    for purchase in purchases:
        letters = letter_of(purchase.bead.kind)
        before = found[letters].beads if letters in found else 0
        found[letters] = Rare(letters, purchase.bead.name, before + purchase.needed)
    return list(found.values())


def _sum(parts: Sequence[Number | None]) -> Number | None:
    """Add up what is known of every part; None where something is not."""
    known = [part for part in parts if part is not None]
    return sum(known[1:], known[0]) if len(known) == len(parts) else None
