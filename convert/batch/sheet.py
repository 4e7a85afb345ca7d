"""The contact sheet: all charts of a batch on one page, to look through."""

from base64 import b64encode
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from convert.batch.entries import Entry
from convert.batch.face import face_of
from convert.batch.run import Outcome
from convert.design_input import read_design
from convert.documents.html import read_part, render_page
from shared.errors import HummockError
from shared.plural import counted


class _Card(NamedTuple):
    name: str
    status: str
    title: str
    chart: str
    """A picture as a data address; empty for none."""
    facts: tuple[str, ...]


def contact_sheet(entries: Sequence[Entry], outcomes: Sequence[Outcome], out: Path, heading: str) -> str:
    """Write the page; it holds all that it shows and asks for nothing."""
    return render_page(
        "convert.batch",
        "sheet.html",
        style=read_part("convert.batch", "sheet.css"),
        pictures=True,
        heading=heading,
        cards=[_card(entry, outcome, out) for entry, outcome in zip(entries, outcomes, strict=True)],
    )


def _card(entry: Entry, outcome: Outcome, out: Path) -> _Card:
    figures = outcome.figures
    if figures is None:
        return _Card(entry.name, outcome.status, entry.picture.name, "", (outcome.message,))
    facts = (
        f"{counted(figures.columns, 'column')} x {counted(figures.rows, 'row')}, {counted(figures.beads, 'bead')}",
        f"{counted(figures.to_buy, 'kind')} of bead to buy, colour error {figures.colour_error:.1f}",
        *((f"cost {figures.cost}",) if figures.cost else ()),
    )
    try:
        face = outcome.face or face_of(read_design(out / entry.name))
    except HummockError as error:
        return _Card(entry.name, outcome.status, entry.picture.name, "", (*facts, str(error)))
    chart = f"data:image/png;base64,{b64encode(face.chart).decode()}"
    return _Card(entry.name, outcome.status, face.title, chart, facts)
