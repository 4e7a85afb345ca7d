"""The colourways of a design: the same rows in other colours."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from convert.chart.choices import Ink
from convert.chart.png import png_bytes
from convert.documents.booklet.figures import Table
from shared.design import Design
from shared.errors import BadChoiceError

PAPER = "#ffffff"


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
                f"'{other.title}' is no colourway of '{design.title}', for its rows or keys differ; "
                "give designs that differ in colours only, as hummock recolour makes them"
            )


def colourway_table(design: Design, others: Sequence[Design]) -> Table:
    """List the colour of each key in every colourway."""
    heads = ("Key", "Size", *(f"{place}" for place in range(1, len(others) + 2)))
    directions = [design, *others]
    rows = tuple(
        (bead.kind, bead.size, *(direction.beads[place].name for direction in directions))
        for place, bead in enumerate(design.beads)
    )
    return Table(heads, rows)


def colourway_shades(design: Design, others: Sequence[Design]) -> tuple[tuple[str, ...], ...]:
    """Return the colour of each key in every colourway as ``#rrggbb``, key by key as in the table."""
    directions = [design, *others]
    return tuple(tuple(direction.beads[place].srgb for direction in directions) for place in range(len(design.beads)))


def colourway_pictures(
    design: Design, others: Sequence[Design], ink: Ink
) -> tuple[list[dict[str, Any]], dict[str, bytes]]:
    """Return what the pages say of each colourway, and the pictures; black ink has none."""
    from convert.documents.colour_review.painted import painted_chart, plan_chart

    shown: list[dict[str, Any]] = []
    pictures: dict[str, bytes] = {}
    plan = plan_chart(design)
    for place, direction in enumerate([design, *others], start=1):
        name = f"way{place}.png"
        entry: dict[str, Any] = {"number": place, "title": direction.title, "picture": None}
        if ink == "colour":
            pixels = painted_chart(plan, direction.cells, [bead.srgb for bead in direction.beads], PAPER)
            pictures[name] = png_bytes(pixels, dots_per_inch=150)
            names = ", ".join(dict.fromkeys(bead.name for bead in direction.beads))
            size = {"width": pixels.shape[1], "height": pixels.shape[0]}
            entry["picture"] = {"file": name, "alt": f"Colourway {place}, {direction.title}: {names}", **size}
        shown.append(entry)
    return shown, pictures


def _kinds(design: Design) -> list[tuple[str, str]]:
    return [(bead.kind, bead.size) for bead in design.beads]
