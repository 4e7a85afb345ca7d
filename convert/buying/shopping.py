"""The shopping list: how many of each bead, with spare, and what they weigh."""

import csv
import io
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from shared.beads import Ladder
from shared.design import Bead, Design

HEADER = ("key", "size", "colour", "name", "count", "with spare", "grams", "packs", "cost")

_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


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

    @property
    def grams(self) -> str:
        """The weight in grams, with two decimals."""
        return f"{self.centigrams // 100}.{self.centigrams % 100:02d}"


def shopping_list(design: Design, *, spare_percent: float) -> tuple[Purchase, ...]:
    """List what a design takes, in the order of its beads.

    Rounding is upwards and exact: no figure is ever less than needed.

    Parameters
    ----------
    design
        The design; the ladder in it says how many beads of a size weigh a gram.
    spare_percent
        Added to each count, for instance 10.
    """
    factor = 1 + Fraction(str(spare_percent)) / 100
    return tuple(
        _purchase(bead, count, factor, design.ladder)
        for bead, count in zip(design.beads, design.counts.tolist(), strict=True)
    )


def beads_csv(purchases: tuple[Purchase, ...]) -> str:
    """Write the list as CSV (RFC 4180). Cells that a spreadsheet would run as a formula are made inert."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(HEADER)
    for purchase in purchases:
        bead = purchase.bead
        cells = (
            bead.key,
            bead.size,
            bead.srgb,
            bead.name,
            purchase.needed,
            purchase.with_spare,
            purchase.grams,
            "",
            "",
        )
        writer.writerow([_inert(str(cell)) for cell in cells])
    return text.getvalue()


def _purchase(bead: Bead, count: int, factor: Fraction, ladder: Ladder) -> Purchase:
    with_spare = ceil(count * factor)
    per_gram = Fraction(str(ladder.sizes[ladder.rung_of[bead.size]].per_gram))
    return Purchase(bead, count, with_spare, ceil(100 * with_spare / per_gram))


def _inert(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_FORMULA_STARTS) else cell
