"""Options about what is bought, for every command that takes them, and how beads are sold."""

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.palette_words import palette_named
from convert.cli.parameters import parse_percent, said
from convert.shopping.choices import SPARE_PERCENT
from convert.shopping.wrists import CLASP_MM
from shared.units import parse_length_mm

if TYPE_CHECKING:
    from convert.shopping.packs import PackOf
    from shared.beads import BeadSizes

Spare = Annotated[
    float,
    typer.Option(
        parser=said(parse_percent),
        metavar="PERCENT",
        show_default=f"{SPARE_PERCENT:g}",
        help="Beads to have above the count.",
    ),
]
Packs = Annotated[
    list[str] | None,
    typer.Option("--pack", metavar="GRAMS", help="Weight of a pack: 10g, or 8=20g for one size; may come again."),
]
PackPalette = Annotated[
    str | None, typer.Option("--palette", metavar="FILE|NAME", help="Where pack weights and prices are known from.")
]
Clasp = Annotated[
    float,
    typer.Option(
        parser=said(partial(parse_length_mm, zero=True)),
        metavar="LENGTH",
        show_default=f"{CLASP_MM:g}mm",
        help="What the clasp adds to the length; the default is a convention, measure yours.",
    ),
]


def known_packs(packs: Sequence[str], palette: str | None, bead_sizes: "BeadSizes") -> "PackOf":
    """Return how beads are sold: in packs that were chosen, else as a palette says.

    Raises
    ------
    HummockError
        When either cannot be read.
    """
    from convert.shopping.packs import choose_packs, pack_of, parse_pack

    known = pack_of(None if palette is None else palette_named(palette))
    return choose_packs([parse_pack(words) for words in packs], known, bead_sizes)
