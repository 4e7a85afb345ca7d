"""Packs as people choose them: ``10g`` for every bead, ``8=20g`` for one size."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from convert.shopping.packs import Pack, PackOf
from palettes.colour import LARGEST
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.beads import BeadSizes
from shared.design import Bead
from shared.errors import BadChoiceError

_PACK = re.compile(r"(?:(?P<sizes>[^=]+)=)?\s*(?P<grams>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?:g|grams?)?\s*", re.IGNORECASE)


class Chosen(NamedTuple):
    """A weight of pack that was chosen."""

    sizes: tuple[str, ...]
    """Full names of the sizes that it is for; empty for all of them."""
    grams: float
    """Weight of one pack, above zero."""


def parse_pack(words: str) -> Chosen:
    """Read a chosen pack.

    Raises
    ------
    BadChoiceError
        When it is none.

    Examples
    --------
    >>> parse_pack("7.5g"), parse_pack("11c 11=10")
    (Chosen(sizes=(), grams=7.5), Chosen(sizes=('cylinder 11/0', 'round 11/0'), grams=10.0))
    """
    found = _PACK.fullmatch(words.strip())
    if found is None:
        raise BadChoiceError(f"'{words}' is no pack; write its weight like 10g, or 8=20g for one size")
    grams = float(found["grams"].replace(",", "."))
    if not 0 < grams < LARGEST:
        raise BadChoiceError(f"a pack of {grams:g} g holds nothing; write its weight like 10g")
    sizes = () if found["sizes"] is None else parse_sizes(found["sizes"])
    return Chosen(() if EVERY_SIZE in sizes else sizes, grams)


def with_chosen(chosen: Sequence[Chosen], known: PackOf, bead_sizes: BeadSizes) -> PackOf:
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
                f"--pack names {size}, which this design's ladder lacks; it has {', '.join(bead_sizes.level_of)}"
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
