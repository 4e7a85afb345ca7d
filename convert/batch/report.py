"""The report of a batch: one line for each picture."""

from collections.abc import Sequence

from convert.batch.entries import Entry
from convert.batch.run import Outcome
from shared.csv_safe import table_csv
from shared.plural import counted

_FIGURES = ("columns", "rows", "beads", "to buy", "colour error", "cost")
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
    return (*begin, *map(str, numbers), f"{figures.colour_error:.3f}", figures.cost, outcome.message)


def told(outcomes: Sequence[Outcome]) -> str:
    """Count what became of the pictures, in words."""
    words = {"made": "made", "kept": "kept from before", "failed": "failed", "left": "left for another run"}
    counts = {status: sum(outcome.status == status for outcome in outcomes) for status in words}
    parts = [f"{counts[status]} {words[status]}" for status in words if counts[status]]
    return f"{counted(len(outcomes), 'picture')}: {', '.join(parts)}"
