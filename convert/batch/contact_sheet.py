"""What a batch tells of itself: a report with a line for each picture, and a page with all charts to look through."""

from base64 import b64encode
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from convert.batch.entries import Entry
from convert.batch.run import Outcome, Status
from convert.batch.work import face_of
from convert.design_input import read_design
from convert.documents.html import read_part, render_page
from shared.csv_safe import table_csv
from shared.errors import HummockError
from shared.plural import counted

_FIGURES = ("columns", "rows", "beads", "to buy", "colour difference", "cost")
HEADER = ("picture", "folder", "status", "seconds", *_FIGURES, "note")


def report_csv(entries: Sequence[Entry], outcomes: Sequence[Outcome]) -> str:
    """Write the report as CSV (RFC 4180), in the order of the entries."""
    lines = zip(entries, outcomes, strict=True)
    return table_csv(HEADER, [_cells(entry, outcome) for entry, outcome in lines])


def _cells(entry: Entry, outcome: Outcome) -> tuple[str, ...]:
    seconds = f"{outcome.seconds:.2f}" if outcome.seconds else ""
    begin = (str(entry.picture), entry.name, outcome.status, seconds)
    figures = outcome.figures
    if figures is None:
        return (*begin, *("" for _ in _FIGURES), " ".join(outcome.message.split()))
    numbers = (figures.columns, figures.rows, figures.beads, figures.to_buy)
    return (*begin, *map(str, numbers), f"{figures.colour_difference:.3f}", figures.cost, outcome.message)


def count_outcomes(outcomes: Sequence[Outcome]) -> str:
    """Count what became of the pictures, in words."""
    words: dict[Status, str] = {
        "made": "made",
        "kept": "kept from before",
        "failed": "failed",
        "left": "left for another run",
    }
    counts = Counter(outcome.status for outcome in outcomes)
    parts = [f"{counts[status]} {said}" for status, said in words.items() if counts[status]]
    return f"{counted(len(outcomes), 'picture')}: {', '.join(parts)}"


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
        "contact_sheet.html",
        style=read_part("convert.batch", "contact_sheet.css"),
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
        f"{counted(figures.to_buy, 'kind')} of bead to buy, colour difference {figures.colour_difference:.1f}",
        *((f"cost {figures.cost}",) if figures.cost else ()),
    )
    try:
        face = outcome.face or face_of(read_design(out / entry.name))
    except HummockError as error:
        return _Card(entry.name, outcome.status, entry.picture.name, "", (*facts, str(error)))
    chart = f"data:image/png;base64,{b64encode(face.chart).decode()}"
    return _Card(entry.name, outcome.status, face.title, chart, facts)
