"""The contact sheet: all charts of a batch on one page, to look through."""

import hashlib
from base64 import b64encode
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

from convert.batch.entries import Entry
from convert.batch.run import Outcome
from convert.designs import read_design
from convert.draw.png import png_bytes
from convert.review.painted import painted_chart, plan_chart
from shared.errors import HummockError

PAPER = "#e6e8e8"


class _Card(NamedTuple):
    name: str
    status: str
    title: str
    chart: str
    """A picture as a data address; empty for none."""
    facts: tuple[str, ...]


def contact_sheet(entries: Sequence[Entry], outcomes: Sequence[Outcome], out: Path, heading: str) -> str:
    """Write the page; it holds all that it shows and asks for nothing."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    style = files("convert.batch").joinpath("sheet.css").read_text("utf-8")
    page = Environment(
        loader=PackageLoader("convert.batch", ""), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    ).get_template("sheet.html")
    allowed = b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return page.render(
        heading=heading,
        cards=[_card(entry, outcome, out) for entry, outcome in zip(entries, outcomes, strict=True)],
        style=Markup(style),  # noqa: S704 - our own file, not a user's words
        policy=f"default-src 'none'; img-src data:; style-src 'sha256-{allowed}'; base-uri 'none'; form-action 'none'",
    )


def _card(entry: Entry, outcome: Outcome, out: Path) -> _Card:
    figures = outcome.figures
    if figures is None:
        return _Card(entry.name, outcome.status, entry.picture.name, "", (outcome.message,))
    facts = (
        f"{figures.columns} columns x {figures.rows} rows, {figures.beads:,} beads",
        f"{figures.to_buy} kinds of bead to buy, colour error {figures.colour_error:.1f}",
        *((f"cost {figures.cost}",) if figures.cost else ()),
    )
    try:
        design = read_design(out / entry.name)
    except HummockError as error:
        return _Card(entry.name, outcome.status, entry.picture.name, "", (*facts, str(error)))
    pixels = painted_chart(plan_chart(design), design.cells, [bead.srgb for bead in design.beads], PAPER)
    chart = f"data:image/png;base64,{b64encode(png_bytes(pixels, dots_per_inch=96)).decode()}"
    return _Card(entry.name, outcome.status, design.title, chart, facts)
