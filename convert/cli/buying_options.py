"""Options about what is bought, for every command that takes them."""

from functools import partial
from typing import Annotated

import typer

from convert.cli.parameters import parse_percent, said
from convert.options import Options
from convert.shopping.fit_to_wrist import CLASP_MM
from shared.units import parse_length_mm

USUAL_SPARE = Options().spare_percent
Spare = Annotated[
    float,
    typer.Option(
        parser=said(parse_percent),
        metavar="PERCENT",
        show_default=f"{USUAL_SPARE:g}",
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
