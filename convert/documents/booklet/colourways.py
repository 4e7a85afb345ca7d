"""The colourways of a design: the same rows in other colours."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from convert.chart.choices import Ink
from convert.chart.png import png_bytes
from convert.chart.small_chart import small_chart
from convert.documents.booklet.materials import WordTable
from shared.design import Design
from shared.errors import BadChoiceError


def check_colourways(design: Design, others: Sequence[Design]) -> None:
    """Refuse designs that differ in more than their colours.

    Raises
    ------
    BadChoiceError
        Naming the first of them.
    """
    for other in others:
        alike = other.grid == design.grid and np.array_equal(other.cells, design.cells)
        if not alike or _kinds(other) != _kinds(design):
            raise BadChoiceError(
                f"'{other.title}' is no colourway of '{design.title}', for its rows or kinds differ; "
                "give designs that differ in colours only, as hummock recolour makes them"
            )


def colourway_table(design: Design, others: Sequence[Design]) -> WordTable:
    """List the colour of each kind in every colourway."""
    every = [design, *others]
    heads = ("Kind", "Size", *(f"{place}" for place in range(1, len(every) + 1)))
    rows = tuple(
        (bead.kind, bead.size, *(one.beads[place].name for one in every)) for place, bead in enumerate(design.beads)
    )
    return WordTable(heads, rows)


def colourway_shades(design: Design, others: Sequence[Design]) -> tuple[tuple[str, ...], ...]:
    """Return the colour of each kind in every colourway as ``#rrggbb``, kind by kind as in the table."""
    return tuple(tuple(one.beads[place].srgb for one in (design, *others)) for place in range(len(design.beads)))


def colourway_pictures(
    design: Design, others: Sequence[Design], ink: Ink
) -> tuple[list[dict[str, Any]], dict[str, bytes]]:
    """Return what the pages say of each colourway, and the pictures; black ink has none."""
    shown: list[dict[str, Any]] = []
    pictures: dict[str, bytes] = {}
    for place, colourway in enumerate([design, *others], start=1):
        name = f"colourway{place}.png"
        entry: dict[str, Any] = {"number": place, "title": colourway.title, "picture": None}
        if ink == "colour":
            pixels = small_chart(colourway)
            pictures[name] = png_bytes(pixels, dots_per_inch=150)
            names = ", ".join(dict.fromkeys(bead.name for bead in colourway.beads))
            size = {"width": pixels.shape[1], "height": pixels.shape[0]}
            entry["picture"] = {"file": name, "alt": f"Colourway {place}, {colourway.title}: {names}", **size}
        shown.append(entry)
    return shown, pictures


def _kinds(design: Design) -> list[tuple[str, str]]:
    return [(bead.kind, bead.size) for bead in design.beads]
