"""How beads are sold: the packs of a palette, or those that a person chooses, and how many hold a purchase."""

import re
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from convert.shopping.choices import PackChoices
from palettes.colour import LARGEST
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.beads import BeadSizes
from shared.design import Bead
from shared.errors import BadChoiceError

_PACK = re.compile(r"(?:(?P<sizes>[^=]+)=)?\s*(?P<grams>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?:g|grams?)?\s*", re.IGNORECASE)


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


def find_finishes(beads: Iterable[Bead], palettes: Iterable[Palette | None]) -> dict[str, str]:
    """Return the finishes of beads that come from a palette, by kind, as far as one of some palettes says them."""
    told = [colour for palette in palettes if palette is not None for colour in palette.entries if colour.finish]
    finishes = {folded(colour.name): colour.finish for colour in reversed(told)}
    return {bead.kind: finishes[folded(bead.name)] for bead in beads if bead.source and folded(bead.name) in finishes}


def packs_needed(grams: Fraction, pack: Pack) -> int:
    """Return how many packs hold a weight: rounded up, exactly."""
    return ceil(grams / Fraction(str(pack.grams)))


def cost_of(packs: int, pack: Pack) -> Fraction | None:
    """Return the price of a number of packs; None where it is unknown."""
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


class ChosenPack(NamedTuple):
    """A weight of pack that was chosen."""

    sizes: tuple[str, ...]
    """Full names of the sizes that it is for; empty for all of them."""
    grams: float


def parse_pack(words: str) -> ChosenPack:
    """Read a chosen pack.

    Raises
    ------
    BadChoiceError
        When it is none.

    Examples
    --------
    >>> parse_pack("7.5g"), parse_pack("11c 11=10")
    (ChosenPack(sizes=(), grams=7.5), ChosenPack(sizes=('cylinder 11/0', 'round 11/0'), grams=10.0))
    """
    found = _PACK.fullmatch(words.strip())
    if found is None:
        raise BadChoiceError(f"'{words}' is no pack; write its weight like 10g, or 8=20g for one size")
    grams = float(found["grams"].replace(",", "."))
    if not 0 < grams < LARGEST:
        raise BadChoiceError(f"a pack of {grams:g} g holds nothing; write its weight like 10g")
    sizes = () if found["sizes"] is None else parse_sizes(found["sizes"])
    return ChosenPack(() if EVERY_SIZE in sizes else sizes, grams)


def choose_packs(chosen: Sequence[ChosenPack], known: PackOf, bead_sizes: BeadSizes) -> PackOf:
    """Return how beads are sold: in the packs that were chosen, else as is known.

    A price that is known holds for a chosen pack of the same weight only.

    Raises
    ------
    BadChoiceError
        When a size is not in the bead sizes, or two packs were chosen for one.
    """
    weights: dict[str, float] = {}
    for size, grams in ((size, one.grams) for one in chosen for size in one.sizes or (EVERY_SIZE,)):
        if size != EVERY_SIZE and size not in bead_sizes.level_of:
            raise BadChoiceError(
                f"--pack names {size}, which is not among the design's bead sizes: {', '.join(bead_sizes.level_of)}"
            )
        if weights.setdefault(size, grams) != grams:
            raise BadChoiceError(f"two packs were chosen for {size if size != EVERY_SIZE else 'all sizes'}; keep one")

    def find(bead: Bead) -> Pack | None:
        pack = known(bead)
        grams = weights.get(bead.size, weights.get(EVERY_SIZE))
        if grams is None or (pack is not None and pack.grams == grams):
            return pack
        return Pack(grams, None)

    return find


def known_packs(choices: PackChoices, bead_sizes: BeadSizes) -> PackOf:
    """Return how beads are sold: in the packs that were chosen, else as a palette says; errors as `choose_packs`."""
    return choose_packs(choices.packs, pack_of(choices.palette), bead_sizes)
