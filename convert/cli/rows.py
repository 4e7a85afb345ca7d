"""``hummock rows``: the word rows of a design, for the hand, for a spreadsheet and in sentences."""

from typing import Annotated

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output

OUTPUTS = ("rows.txt", "rows.csv", "rows-in-words.txt")


@with_choices
def rows(
    design: DesignFile,
    *,
    full: Annotated[bool, typer.Option("--full", help="Write every row, also those that repeat earlier ones.")] = False,
    output: Annotated[Output, Where("next to the design")],
) -> None:
    """Write the word rows: rows.txt, a table, and plain language with the beads to lay out and what to check."""
    from convert.rows.abbreviate import abbreviate_rows
    from convert.rows.sentences import rows_in_words
    from convert.rows.writer import rows_csv, write_rows

    work, folder = output.open_design(design, OUTPUTS)
    lines = abbreviate_rows(work, full=full)
    texts = [write(work, lines) for write in (write_rows, rows_csv, rows_in_words)]
    output.say(output.place(dict(zip(OUTPUTS, texts, strict=True)), folder))
